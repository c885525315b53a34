import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  realpathSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { registerImport } from "../../../src/cli/import.ts";
import { recover } from "../../../src/cli/store/file-set.ts";
import { runCommand } from "../run-command.ts";
import { disown, type Fault, Killed, onFaultyDisk } from "./faulty-disk.ts";

let folder = "";
const at = (name: string): string => join(folder, name);
const sheet = (rows: readonly string[]): string =>
  `lane,point,volts,taken_at\n${rows.map((row) => `${row},2026-05-02\n`).join("")}`;

beforeAll(() => {
  folder = realpathSync(mkdtempSync(join(tmpdir(), "dropwise-imports-")));
  writeFileSync(at("monday.csv"), sheet(["1,pod,4.9", "2,pod,4.8", "9,pod,4.9"]));
  writeFileSync(at("friday.csv"), sheet(["1,pod,4.7", "2,pod,4.6"]));
});
afterAll(() => rmSync(folder, { recursive: true }));

/** What stands in the pool's folder, file by file. */
function contents(): Readonly<Record<string, string>> {
  const names = readdirSync(at("pool"), { recursive: true, encoding: "utf8" }).sort();
  const files = names.filter((name) => statSync(at(`pool/${name}`)).isFile());
  return Object.fromEntries(files.map((name) => [name, readFileSync(at(`pool/${name}`), "utf8")]));
}

/** A pool with readings and rejects of an earlier sheet of that name, or with none. */
function prepare(earlier: boolean): void {
  rmSync(at("pool"), { recursive: true, force: true });
  mkdirSync(at("pool"));
  writeFileSync(at("pool/pool.yaml"), "pool: Kestrel Bay\nlanes: 2\ndevices: [touchpad]\n");
  if (!earlier) return;
  mkdirSync(at("pool/readings"));
  writeFileSync(at("pool/readings/monday.csv"), "an earlier sheet\n");
  writeFileSync(at("pool/rejected-monday.csv"), "an earlier sheet's\n");
}

const importing = (...args: readonly string[]) =>
  runCommand([registerImport], ["import", "--pool", at("pool"), ...args]);

interface Case {
  readonly name: string;
  readonly earlier: boolean;
  /** Sheets in their order: each is a set of its own, acknowledged before the next is begun. */
  readonly sheets: readonly string[];
}
const cases: readonly Case[] = [
  { name: "a sheet into a new pool", earlier: false, sheets: ["monday"] },
  { name: "--force over an earlier sheet", earlier: true, sheets: ["monday"] },
  { name: "two sheets", earlier: false, sheets: ["monday", "friday"] },
];

/** The pool's folder after none, one, ... of the sheets. */
async function stages({ earlier, sheets }: Case): Promise<Readonly<Record<string, string>>[]> {
  prepare(earlier);
  const after = [contents()];
  for (const name of sheets) {
    expect((await importing("--force", at(`${name}.csv`))).status).not.toBe(2);
    after.push(contents());
  }
  return after;
}

describe.each(cases)("import: $name", (one) => {
  const run = () => importing("--force", ...one.sheets.map((name) => at(`${name}.csv`)));

  test.each<Fault>(["fails", "kill"])(
    "whatever call to the disk %s: readings and rejects together, none that was told lost",
    async (fault) => {
      const after = await stages(one);
      prepare(one.earlier);
      const { calls } = await onFaultyDisk(0, fault, run);
      expect(contents()).toEqual(after.at(-1));
      expect(calls.length).toBeGreaterThan(15);
      for (let call = 1; call <= calls.length; call++) {
        prepare(one.earlier);
        const { result, error } = await onFaultyDisk(call, fault, run);
        const where = `${fault} at call ${call}, ${calls[call - 1]}`;
        if (error !== null) expect(error, where).toBeInstanceOf(Killed);
        disown(folder);
        recover(at("pool"));
        const left = contents();
        const stage = after.findIndex((files) => JSON.stringify(files) === JSON.stringify(left));
        expect(stage, where).toBeGreaterThanOrEqual(0);
        // A sheet is acknowledged by the line that says where its readings are.
        const told = result?.out.replace(/\n {2,}/g, " ").match(/; in .*\.csv/g)?.length ?? 0;
        expect(stage, where).toBeGreaterThanOrEqual(told);
        if (result !== null && result.status !== 2) expect(stage, where).toBe(one.sheets.length);
        if (result?.status === 2) expect(result.err, where).toMatch(/^dropwise: .*\n$/m);
        expect(readdirSync(at("pool")).filter((name) => name.startsWith("."))).toEqual([]);
        expect((await run()).status, where).not.toBe(2);
        expect(contents(), where).toEqual(after.at(-1));
      }
      expect(existsSync(at("pool/readings"))).toBe(true);
    },
  );
});
