import { join } from "node:path";
import { circuitCells } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { csvLine } from "../intake/csv-cell.ts";
import { type NewPool, poolFileText } from "../intake/pool/pool-file-text.ts";
import { poolJsonSchema } from "../intake/pool/pool-schema.ts";
import { readPool } from "../intake/pool/read-pool.ts";
import { type Register, UnusableInput } from "./command.ts";
import { exists, faultSentence } from "./files.ts";
import { writeFiles } from "./store/file-set.ts";

interface Options {
  readonly dir: string;
  readonly pool: string;
  readonly lanes: string;
  readonly devices: string;
  readonly force?: boolean;
}

const example = `
Examples:
  $ dropwise init --pool "Kestrel Bay" --lanes 8 --devices touchpad,button-1,button-2
  $ dropwise init --dir pools/kestrel --lanes 0,1,2,3,4,5,6,7,8,9

Writes pool.yaml (every key with its default and one line of why), pool.schema.json (by which
editors complete and check it) and readings.csv (one row a lane and device, one column a point:
print it or fill it in, and leave blank what you don't read). Then:
  $ dropwise check --pool pool.yaml readings.csv
`;

const listed = (text: string): string[] =>
  text
    .split(",")
    .map((part) => part.trim())
    .filter((part) => part !== "");

/** `8` is a count; `1,2,3,10` and `dive,1` are the lanes themselves. */
function lanesOf(text: string): NewPool["lanes"] {
  const number = (part: string) => (/^\d+$/.test(part) ? Number(part) : part);
  const parts = listed(text).map(number);
  const [only] = parts;
  return parts.length === 1 && typeof only === "number" ? only : parts;
}

/** A wide sheet with a row for every circuit and nothing read yet. */
function blankSheet(pool: Pool): string {
  const { points } = pool;
  const behind = ["taken_at", "by", "note"];
  const header = ["lane", "device", ...points, ...behind];
  const blanks = [...points, ...behind].map(() => "");
  const rows = pool.circuits.map((circuit) => {
    const { lane, device } = circuitCells(circuit);
    return [lane, device, ...blanks];
  });
  return [header, ...rows].map((row) => csvLine(row)).join("");
}

/** `dropwise init`: a pool file, its schema and an empty sheet, to start from. */
export const registerInit: Register = (program, io) => {
  program
    .command("init")
    .description("Write a commented pool.yaml and an empty sheet of readings to start from.")
    .option("--dir <folder>", "where to write", ".")
    .option("--pool <name>", "the facility's name", "Our pool")
    .option("--lanes <lanes>", "how many lanes, or which: 1,2,3,10", "8")
    .option("--devices <names>", "devices of a lane, the main one first", "touchpad")
    .option("--force", "overwrite files that are there already")
    .addHelpText("after", example)
    .action(async ({ dir, pool: name, lanes, devices, force }: Options) => {
      const given = { pool: name, lanes: lanesOf(lanes), devices: listed(devices) };
      const pool = readPool(JSON.stringify(given), "dropwise init");
      if (!pool.ok) throw new UnusableInput(faultSentence(pool.error));
      const files = [
        { name: "pool.yaml", content: poolFileText(given, "./pool.schema.json") },
        { name: "pool.schema.json", content: `${JSON.stringify(poolJsonSchema(), null, 2)}\n` },
        { name: "readings.csv", content: blankSheet(pool.value) },
      ];
      for (const file of force ? [] : files) {
        const path = join(dir, file.name);
        if (await exists(path)) {
          throw new UnusableInput(`${path} is there already; --force overwrites it`);
        }
      }
      writeFiles(dir, files);
      const paths = files.map((file) => join(dir, file.name));
      io.out(`Written: ${paths.join(", ")}\n`);
    });
};
