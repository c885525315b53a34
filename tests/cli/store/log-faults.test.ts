import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { registerLog, registerUndo } from "../../../src/cli/log.ts";
import { WalkFile } from "../../../src/cli/walk-file.ts";
import { readPool } from "../../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../../src/intake/read-readings.ts";
import { readWorkLog } from "../../../src/intake/read-work-log.ts";
import { runCommand } from "../run-command.ts";
import { disown, type Fault, Killed, onFaultyDisk } from "./faulty-disk.ts";

const poolText = "pool: Kestrel Bay\nlanes: 8\ndevices: [touchpad]";
const read = readPool(poolText, "p");
if (!read.ok) throw new Error("the pool file is wrong");
const pool = read.value;
const faults: readonly Fault[] = ["fails", "kill"];

let folder = "";
const at = (name: string): string => join(folder, name);
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "dropwise-faults-"));
});
afterEach(() => rmSync(folder, { recursive: true }));

/** The pool lies elsewhere: the folder under test holds the log and nothing else. */
let elsewhere = "";
beforeAll(() => {
  elsewhere = mkdtempSync(join(tmpdir(), "dropwise-pool-"));
  writeFileSync(join(elsewhere, "pool.yaml"), poolText);
});
afterAll(() => rmSync(elsewhere, { recursive: true }));

const log = (...args: string[]) =>
  runCommand([registerLog, registerUndo], [...args, "--work", at("work.csv"), "--pool", elsewhere]);
const cleaned = (lane: number) =>
  log("log", "cleaned", "--lane", String(lane), "--point", "plate", "--note", `lane ${lane}`);

/** Lanes of the entries that stand, as every reader of the log sees them. */
function standing(): number[] {
  const text = readdirSync(folder).includes("work.csv") ? readFileSync(at("work.csv"), "utf8") : "";
  if (text === "") return [];
  const { entries, faults } = readWorkLog(text, pool, "work.csv");
  expect(faults).toEqual([]);
  return entries.map(({ lane }) => Number(lane));
}

/** Entries that are in the file although a whole row never got there are what must not be. */
const cases: readonly {
  readonly name: string;
  readonly before: () => Promise<unknown>;
  readonly run: () => ReturnType<typeof log>;
  readonly old: readonly number[];
  readonly fresh: readonly number[];
}[] = [
  { name: "log into no file", before: async () => {}, run: () => cleaned(3), old: [], fresh: [3] },
  {
    name: "log into a log",
    before: () => cleaned(1),
    run: () => cleaned(3),
    old: [1],
    fresh: [1, 3],
  },
  {
    name: "undo",
    before: async () => {
      await cleaned(1);
      await cleaned(2);
    },
    run: () => log("undo"),
    old: [1, 2],
    fresh: [1],
  },
  {
    name: "log into a log of an older version",
    before: async () =>
      writeFileSync(at("work.csv"), "done_at,lane,point,action\r\n2026-05-01,1,plate,cleaned\r\n"),
    run: () => cleaned(3),
    old: [1],
    fresh: [1, 3],
  },
  {
    name: "log import",
    before: async () => {
      await cleaned(4);
      await cleaned(5);
      writeFileSync(at("other.csv"), readFileSync(at("work.csv")));
      rmSync(at("work.csv"));
      await cleaned(1);
    },
    run: () => log("log", "import", at("other.csv")),
    old: [1],
    fresh: [1, 4, 5],
  },
];

describe.each(cases)("$name", ({ before, run, old, fresh }) => {
  const startAnew = async (): Promise<void> => {
    rmSync(folder, { recursive: true });
    mkdirSync(folder);
    await before();
  };

  test.each(faults)("whatever call to the disk %s, nothing acknowledged is lost", async (fault) => {
    await startAnew();
    const { calls } = await onFaultyDisk(0, fault, run);
    expect(calls.length).toBeGreaterThan(5);
    for (let call = 1; call <= calls.length; call++) {
      await startAnew();
      const { result, error } = await onFaultyDisk(call, fault, run);
      const where = `${fault} at call ${call}, ${calls[call - 1]}`;
      if (error !== null) expect(error, where).toBeInstanceOf(Killed);
      if (result?.status === 2) expect(result.err.split("\n"), where).toHaveLength(2);
      const left = standing();
      if (result?.status === 0) expect(left, where).toEqual(fresh);
      // A batch is a sequence of rows: a power cut may leave the first of them.
      const some = fresh.slice(0, left.length);
      expect([old, some], where).toContainEqual(left);
      disown(folder);
      expect((await cleaned(8)).status, where).toBe(0);
      expect(standing(), where).toEqual([...left, 8]);
      expect(readdirSync(folder).filter((name) => name.startsWith("."))).toEqual([]);
    }
  });
});

describe("a guided walk's sheet", () => {
  const row = (volts: string) => ({
    walk: "a",
    lane: "1",
    device: "touchpad",
    point: "pod",
    volts,
    taken_at: "2026-05-02T10:00:00",
    meter: "deck",
    meter_on: "",
    state: "rest",
    by: "KM",
  });
  const values = (): number[] => {
    const text = readdirSync(folder).includes("w.csv") ? readFileSync(at("w.csv"), "utf8") : "";
    if (text === "") return [];
    return readReadings(text, pool, "w.csv").readings.map(({ volts }) => volts);
  };

  test.each(faults)(
    "whatever call to the disk %s, every row that was noted stays",
    async (fault) => {
      let noted: number[] = [];
      const walk = async (): Promise<void> => {
        noted = [];
        const file = WalkFile.begin(at("w.csv"));
        for (const volts of ["4.91", "4.92", "4.93"]) {
          file.append(row(volts));
          noted.push(Number(volts));
        }
        file.cutLast();
        noted.pop();
        file.append(row("4.95"));
        noted.push(4.95);
      };
      const { calls } = await onFaultyDisk(0, fault, walk);
      expect(calls.length).toBeGreaterThan(15);
      for (let call = 1; call <= calls.length; call++) {
        rmSync(at("w.csv"), { force: true });
        await onFaultyDisk(call, fault, walk);
        const where = `${fault} at call ${call}, ${calls[call - 1]}`;
        // One more row may be whole on the disk, or one fewer where the last was being taken off.
        const left = values();
        expect(Math.abs(left.length - noted.length), where).toBeLessThanOrEqual(1);
        const least = Math.min(left.length, noted.length);
        expect(left.slice(0, least), where).toEqual(noted.slice(0, least));
        expect([4.91, 4.92, 4.93, 4.95], where).toEqual(expect.arrayContaining(left));
        disown(folder);
        if (!readdirSync(folder).includes("w.csv")) WalkFile.begin(at("w.csv"));
        WalkFile.resume(at("w.csv")).file.append(row("4.99"));
        expect(values(), where).toEqual([...left, 4.99]);
      }
    },
  );
});
