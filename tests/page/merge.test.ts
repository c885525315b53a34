import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import fc from "fast-check";
import { expect, test } from "vitest";
import { loadReadings, loadWorkLog } from "../../src/cli/files.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { withWalkNames } from "../../src/domain/walk-names.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { addWork, mergeWork } from "../../src/page/add-work.ts";
import { contentsOf } from "../../src/page/contents.ts";
import { importedSheet } from "../../src/page/import-sheet.ts";
import { rowOfEntered, rowOfReading, strikeOf, withRows } from "../../src/page/ledger.ts";
import {
  fileBytes,
  type KeptFile,
  newFile,
  newRecord,
  type PoolRecord,
  sheetsOf,
  uniqueName,
} from "../../src/page/record.ts";

/**
 * Two phones and the command: whatever is entered, corrected, struck out, worked on, exported and
 * imported, in any order and any number of times, ends in the same readings and walks everywhere once each has the
 * other's files. The property is that of a set that only grows (Shapiro and others 2011, "Conflict-free
 * replicated data types", the two-phase set; from memory).
 */

const poolText = "pool: Kestrel Bay\nlanes: 3\ndevices: [touchpad]\nmeters: [{ name: deck }]\n";
const read = readPool(poolText, "pool.yaml");
if (!read.ok) throw new Error("the pool of this test is none");
const pool = read.value;

/** A sheet that somebody kept by hand: no ids, some rows without a time. */
const paper =
  "lane,point,volts,taken_at\n1,pod,4.71,2026-05-02T08:00:00Z\n2,pod,4.9,\n2,pod,4.9,\n";

type Act =
  | { readonly do: "enter"; readonly phone: number; readonly lane: number; readonly cents: number }
  | { readonly do: "strike" | "correct"; readonly phone: number; readonly pick: number }
  | { readonly do: "work"; readonly phone: number; readonly lane: number }
  | { readonly do: "import"; readonly phone: number; readonly pick: number }
  | { readonly do: "paper"; readonly phone: number };

const phone = fc.nat(1);
const act: fc.Arbitrary<Act> = fc.oneof(
  {
    weight: 5,
    arbitrary: fc.record({
      do: fc.constant("enter" as const),
      phone,
      lane: fc.integer({ min: 1, max: 3 }),
      cents: fc.integer({ min: 440, max: 500 }),
    }),
  },
  {
    weight: 2,
    arbitrary: fc.record({
      do: fc.constantFrom("strike" as const, "correct" as const),
      phone,
      pick: fc.nat(20),
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      do: fc.constant("work" as const),
      phone,
      lane: fc.integer({ min: 1, max: 3 }),
    }),
  },
  {
    weight: 2,
    arbitrary: fc.record({ do: fc.constant("import" as const), phone, pick: fc.nat(20) }),
  },
  { weight: 1, arbitrary: fc.record({ do: fc.constant("paper" as const), phone }) },
);

/** A clock that goes on by a minute, or now and then by half a day, at every act. */
const momentOf = (step: number): string => {
  const minutes = step + 720 * Math.floor(step / 9);
  return `${new Date(Date.UTC(2026, 4, 2, 8, minutes)).toISOString().slice(0, 19)}Z`;
};

const ledgerName = (record: PoolRecord): string =>
  uniqueName(
    "readings.csv",
    record.sheets.map(({ name }) => name),
  );

function take(record: PoolRecord, file: KeptFile): PoolRecord {
  const taken = importedSheet(record, contentsOf(record), {
    ...file,
    bytes: fileBytes(file),
    added: [],
  });
  return taken.kept === null ? record : { ...record, sheets: taken.kept };
}

/** All that one phone has handed out, taken by the other. */
const takeAll = (to: PoolRecord, from: PoolRecord): PoolRecord => {
  const sheets = sheetsOf(from).reduce(take, to);
  return from.work === null ? sheets : { ...sheets, work: mergeWork(sheets.work, from.work) };
};

function done(phones: readonly PoolRecord[], act: Act, step: number): PoolRecord {
  const record = phones[act.phone]!;
  const other = phones[1 - act.phone]!;
  const { readings } = contentsOf(record);
  const add = (rows: Parameters<typeof withRows>[1]): PoolRecord => ({
    ...record,
    ledger: withRows(record.ledger, rows, () => ledgerName(record)),
  });
  const id = `${act.phone}-${step}`;
  if (act.do === "paper") return take(record, newFile("paper.csv", paper));
  if (act.do === "import") {
    const files = sheetsOf(other);
    return files.length === 0 ? record : take(record, files[act.pick % files.length]!);
  }
  if (act.do === "work") {
    const entered = {
      done_at: momentOf(step),
      lane: String(act.lane),
      point: "plate",
      action: "cleaned",
    };
    return { ...record, work: addWork(record.work, entered) };
  }
  if (act.do === "enter") {
    const volts = (act.cents / 100).toFixed(2);
    const entered = { lane: String(act.lane), device: "touchpad", end: "", point: "pod", volts };
    return add([rowOfEntered({ ...entered, taken_at: momentOf(step) }, id)]);
  }
  const old = readings.length === 0 ? null : rowOfReading(readings[act.pick % readings.length]!);
  if (old === null) return record;
  const rows = act.do === "strike" ? [] : [{ ...old, id, volts: "4.55" }];
  const after = add([strikeOf(old), ...rows]);
  const like = (one: Reading): boolean => JSON.stringify(rowOfReading(one)) === JSON.stringify(old);
  expect(readings.some(like)).toBe(true);
  expect(contentsOf(after).readings.some(like)).toBe(false);
  return after;
}

/** What counts of readings, in an order that files don't change; an id may be lost on paper. */
const facts = (readings: readonly Reading[]): readonly string[] =>
  readings
    .map(({ lane, point, volts, takenAt, walk }) =>
      JSON.stringify([lane, point, volts, takenAt?.seconds ?? null, walk]),
    )
    .toSorted();

async function byCommand(record: PoolRecord): Promise<readonly string[]> {
  const folder = mkdtempSync(join(tmpdir(), "merge-"));
  const paths = sheetsOf(record).map((file) => {
    writeFileSync(join(folder, file.name), fileBytes(file));
    return join(folder, file.name);
  });
  if (paths.length === 0) return [];
  const { readings } = await loadReadings(paths, pool);
  if (record.work === null) return facts(withWalkNames(readings, pool, []));
  writeFileSync(join(folder, "work.csv"), fileBytes(record.work));
  const { entries } = await loadWorkLog(join(folder, "work.csv"), pool);
  return facts(withWalkNames(readings, pool, entries));
}

test("any entering, striking, working, exporting and importing ends in the same readings", async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(act, { minLength: 3, maxLength: 30 }), async (acts) => {
      let phones: readonly PoolRecord[] = ["a", "b"].map((id) =>
        newRecord(id, "Kestrel Bay", newFile("pool.yaml", poolText)),
      );
      acts.forEach((one, step) => {
        const next = done(phones, one, step);
        phones = phones.with(one.phone, next);
      });
      let [a, b] = [phones[0]!, phones[1]!];
      [a, b] = [takeAll(a, b), takeAll(b, a)];
      const first = facts(contentsOf(a).readings);
      expect(facts(contentsOf(b).readings)).toEqual(first);
      // Once more, and from both sides: nothing changes any longer.
      const again = takeAll(takeAll(a, takeAll(b, a)), a);
      expect(facts(contentsOf(again).readings)).toEqual(first);
      expect(again.sheets.length).toBe(a.sheets.length);
      for (const one of [a, b, again]) expect(await byCommand(one)).toEqual(first);
    }),
    { numRuns: 150, seed: 19 },
  );
}, 300_000);
