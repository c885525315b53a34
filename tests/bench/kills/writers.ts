import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { basename, dirname, join } from "node:path";
import { registerCheck } from "../../../src/cli/check.ts";
import type { Register } from "../../../src/cli/command.ts";
import { registerImport } from "../../../src/cli/import.ts";
import { registerInit } from "../../../src/cli/init.ts";
import { registerLog, registerUndo } from "../../../src/cli/log.ts";
import { registerRound } from "../../../src/cli/round.ts";
import { recover, writeFiles } from "../../../src/cli/store/file-set.ts";
import { WalkFile } from "../../../src/cli/walk-file.ts";
import { readPool } from "../../../src/intake/pool/read-pool.ts";
import { readWorkLog } from "../../../src/intake/read-work-log.ts";
import { runCommand } from "../../cli/run-command.ts";

/**
 * A command that writes, run again and again in one folder. What it is about to make is `begun`, what
 * it said to have made is `done`; what stands there when it was killed has to be one of the two.
 */
export interface Writer {
  /** Makes the folder ready, once. */
  readonly prepare: (folder: string) => void;
  /** Does the work of round `n`. */
  readonly work: (folder: string, n: number) => Promise<void>;
  /** What stands there, as the next run finds it. */
  readonly standing: (folder: string) => string;
  /** What stands there after round `n` is done. */
  readonly after: (folder: string, n: number) => Promise<string>;
}

const poolText = "pool: Kestrel Bay\nmodel: plain\nlanes: 2\ndevices: [touchpad]\n";

async function run(register: Register, ...args: readonly string[]): Promise<void> {
  const { status, err } = await runCommand([register], args);
  if (status === 2) throw new Error(err);
}

const digest = (parts: readonly string[]): string =>
  createHash("sha256").update(JSON.stringify(parts)).digest("hex").slice(0, 16);

/** All files under a folder by name and content; the program's own leftovers are none of them. */
function contents(folder: string): string {
  if (!existsSync(folder)) return "nothing";
  const names = readdirSync(folder, { recursive: true, encoding: "utf8" }).sort();
  return digest(
    names
      .filter((name) => statSync(join(folder, name)).isFile())
      .map((name) => `${name} ${readFileSync(join(folder, name)).toString("base64")}`),
  );
}

const withPool = (folder: string): void => writeFileSync(join(folder, "pool.yaml"), poolText);

/** A command that writes a set of files: the next run that writes there ends what was begun. */
function setWriter(
  make: (folder: string, out: string, n: number) => Promise<void>,
  inside: readonly string[] = [],
): Writer {
  return {
    prepare: (folder) => {
      withPool(folder);
      for (const name of inside) {
        mkdirSync(dirname(join(folder, "out", name)), { recursive: true });
        writeFileSync(join(folder, "out", name), "mine");
      }
      for (const name of inside) {
        mkdirSync(dirname(join(folder, "trial", name)), { recursive: true });
        writeFileSync(join(folder, "trial", name), "mine");
      }
    },
    work: (folder, n) => make(folder, join(folder, "out"), n),
    standing: (folder) => {
      recover(join(folder, "out"));
      return contents(join(folder, "out"));
    },
    // The same into another folder, which nobody looks at.
    after: async (folder, n) => {
      await make(folder, join(folder, "trial"), n);
      return contents(join(folder, "trial"));
    },
  };
}

const noteOf = (n: number): string => `round ${n}`;
const rowsOf = (path: string): readonly string[] => {
  if (!existsSync(path)) return [];
  const text = readFileSync(path, "utf8");
  // A row cut short has no line end: no reader counts it, and it was not acknowledged.
  return text.slice(0, text.lastIndexOf("\n") + 1).match(/round \d+(?! on)/g) ?? [];
};

const log = (folder: string, ...args: readonly string[]): Promise<void> =>
  run(args[0] === "undo" ? registerUndo : registerLog, ...args, "--pool", folder);
/** A minute of its own for each row: two works of one place and moment are one. */
const momentOf = (row: number): string =>
  new Date(Date.UTC(2020, 0, 1) + 60_000 * row).toISOString().slice(0, 19);
const nextMoment = (folder: string): string => momentOf(rowsOf(join(folder, "work.csv")).length);
const cleaned = (folder: string, n: number): Promise<void> => {
  const place = ["--lane", "1", "--point", "plate", "--at", nextMoment(folder)];
  return log(folder, "log", "cleaned", ...place, "--note", noteOf(n));
};

/** As every command reads it: what is torn is no entry. */
function workRows(folder: string): string {
  const path = join(folder, "work.csv");
  if (!existsSync(path)) return "0";
  const pool = readPool(poolText, "p");
  if (!pool.ok) throw new Error("the pool file is wrong");
  const { entries, faults } = readWorkLog(readFileSync(path, "utf8"), pool.value, path);
  return faults.length > 0 ? `no log: ${faults[0]!.message}` : String(entries.length);
}
const undone = (folder: string): number => {
  const path = join(folder, "work.csv");
  return existsSync(path)
    ? (readFileSync(path, "utf8").match(/,undone,[^\n]*\n/g)?.length ?? 0)
    : 0;
};

/** A log of which round `n` makes `n + 1` rows more. */
const rowWriter = (
  work: Writer["work"],
  standing: Writer["standing"] = workRows,
  each = 1,
): Writer => {
  let start: number | null = null;
  return {
    prepare: withPool,
    work,
    standing,
    after: async (folder, n) => {
      start ??= Number(standing(folder));
      return String(start + each * (n + 1));
    },
  };
};

/** A picture of each of the documents that take long to make: their files go in by the same call. */
const drawn = (n: number): { name: string; content: string }[] =>
  Array.from({ length: 24 }, (_, i) => ({
    name: `chart-${i}.svg`,
    content: `<svg xmlns="http://www.w3.org/2000/svg">${`<g id="n${n}"/>`.repeat(2000)}</svg>`,
  }));

const sheet = (n: number): string =>
  `lane,point,volts,taken_at\n1,pod,4.${10 + (n % 90)},2026-05-02T10:00:00\n1,pod,x,\n`;

export const writers: Readonly<Record<string, Writer>> = {
  log: rowWriter(cleaned),
  undo: rowWriter(
    async (folder, n) => {
      await cleaned(folder, n);
      await log(folder, "undo");
    },
    (folder) => String(undone(folder)),
  ),
  "log import": rowWriter(async (folder, n) => {
    const other = join(folder, "other.csv");
    const row = `${nextMoment(folder)},1,plate,cleaned,${noteOf(n)}`;
    writeFileSync(other, `done_at,lane,point,action,note\n${row}\n`);
    await log(folder, "log", "import", other);
  }),
  "next --guide": {
    ...rowWriter(
      async (folder, n) => {
        const path = join(folder, "w.csv");
        const { file } = existsSync(path) && n === 0 ? WalkFile.resume(path) : held(path);
        kept.set(path, file);
        file.append({
          ...{ walk: "a", lane: "1", device: "touchpad", point: "pod", volts: "4.98" },
          ...{ taken_at: "2026-05-02T10:00:00", meter: "deck", meter_on: "", state: "rest" },
          by: noteOf(n),
        });
      },
      (folder) => String(rowsOf(join(folder, "w.csv")).length),
    ),
  },
  import: setWriter(async (folder, out, n) => {
    mkdirSync(out, { recursive: true });
    if (!existsSync(join(out, "pool.yaml"))) withPool(out);
    const path = join(folder, "monday.csv");
    writeFileSync(path, sheet(n));
    await run(registerImport, "import", path, "--force", "--pool", out);
  }),
  "check --out": setWriter(async (folder, out, n) => {
    const path = join(folder, `${basename(out)}.csv`);
    writeFileSync(path, sheet(n));
    const same = join(folder, "deck.csv");
    writeFileSync(same, sheet(n));
    await run(registerCheck, "check", same, "--pool", folder, "--out", out);
  }),
  "init --force": setWriter((_, out, n) =>
    run(registerInit, "init", "--force", "--dir", out, "--name", `Bay ${n}`, "--lanes", "2"),
  ),
  "round --out": setWriter(
    (folder, out, n) => {
      const text = poolText.replace("Kestrel Bay", `Bay ${n}`);
      writeFileSync(join(folder, "pool.yaml"), text);
      return run(registerRound, "round", "--pool", folder, "--out", out);
    },
    ["mine.txt"],
  ),
  "charts, report, memo": setWriter(async (_, out, n) => writeFiles(out, drawn(n)), ["mine.txt"]),
  "the same, beside a folder of the user's": setWriter(
    async (_, out, n) => writeFiles(out, drawn(n)),
    ["mine.txt", "sub/mine.txt"],
  ),
};

const kept = new Map<string, WalkFile>();
const held = (path: string): { file: WalkFile } => ({
  file: kept.get(path) ?? WalkFile.begin(path),
});
