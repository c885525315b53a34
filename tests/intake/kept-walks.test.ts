import { describe, expect, test } from "vitest";
import type { Reading } from "../../src/domain/reading.ts";
import { volts } from "../../src/domain/units.ts";
import type { WorkEntry } from "../../src/domain/work.ts";
import { KeptReadings } from "../../src/intake/kept-readings.ts";
import { readMoment } from "../../src/intake/moment-text.ts";
import { tenLanes } from "../facility/ten-lanes.ts";

const pool = tenLanes();
const plain: Reading = {
  lane: 1,
  device: "touchpad",
  end: null,
  point: "pod",
  volts: volts(4.9),
  step: volts(0.01),
  takenAt: null,
  walk: "a",
  meter: "deck",
  meterOn: false,
  state: "rest",
  id: null,
  by: null,
  note: null,
  line: 2,
};
const kept = (...readings: readonly Partial<Reading>[]): KeptReadings => {
  const all = new KeptReadings();
  for (const each of readings) all.add({ ...plain, ...each });
  return all;
};
const at = (text: string) => ({ takenAt: readMoment(text), walk: text.slice(0, 10) });
const shown = (all: KeptReadings): string[] =>
  all.walks().map(({ walk, readings }) => {
    const lines = readings().map(({ line }) => line);
    return `${walk}: ${lines.join(" ")}`;
  });

test("walks come in the order of their first rows, each with its own rows as they were put in", () => {
  const all = kept(
    { line: 2, walk: "b", end: "turn", meterOn: true, state: "moved", id: "x1" },
    { line: 3, walk: "a", by: "R. Q.", note: "wet", lane: null },
    { line: 4, walk: "b", lane: "deep", volts: volts(0), step: volts(0.1) },
  );
  expect(all.size).toBe(3);
  expect(shown(all)).toEqual(["b: 2 4", "a: 3"]);
  const [b, a] = all.walks();
  expect(b!.readings()).toEqual([
    { ...plain, line: 2, walk: "b", end: "turn", meterOn: true, state: "moved", id: "x1" },
    { ...plain, line: 4, walk: "b", lane: "deep", volts: 0, step: 0.1 },
  ]);
  expect(a!.readings()).toEqual([{ ...plain, line: 3, by: "R. Q.", note: "wet", lane: null }]);
});

test("nothing put in, nothing comes out", () => {
  expect(new KeptReadings().size).toBe(0);
  expect(new KeptReadings().walks()).toEqual([]);
});

test("a column of texts begins where the first is written", () => {
  const all = kept({ line: 2 }, { line: 3, id: "i", by: "b", note: "n" }, { line: 4 });
  const texts = all.walks()[0]!.readings();
  expect(texts.map(({ id, by, note }) => [id, by, note])).toEqual([
    [null, null, null],
    ["i", "b", "n"],
    [null, null, null],
  ]);
});

// A lone pressed reading makes no walk.
test.each([
  [["pressed"], false],
  [["rest"], true],
  [["moved"], true],
  [["pressed", "rest"], true],
  [["rest", "pressed"], true],
  [["pressed", "pressed"], false],
] as const)("readings %j: at rest %s", (states, rests) => {
  const all = kept(...states.map((state) => ({ state })));
  expect(all.walks().map((walk) => walk.rests)).toEqual([rests]);
  // By time they are one walk still.
  const timed = kept(...states.map((state) => ({ state, ...at("2026-05-02T08:00") })));
  timed.nameWalks(pool, []);
  expect(timed.walks().map((walk) => walk.rests)).toEqual([rests]);
});

describe("walks by time", () => {
  // The contract: an id; else the readings between two silences of six hours; midnight ends nothing.
  test("a silence of over six hours ends one; a walk's own id is kept", () => {
    const all = kept(
      { line: 2, ...at("2026-05-02T08:00") },
      { line: 3, ...at("2026-05-02T08:10"), walk: "before" },
      { line: 4, ...at("2026-05-02T15:00") },
      { line: 5, ...at("2026-05-02T14:00") },
      { line: 6, walk: "2026-05-02" },
      { line: 7, ...at("2026-05-02T20:59") },
      { line: 8, ...at("2026-05-03T00:30") },
    );
    all.nameWalks(pool, []);
    expect(all.size).toBe(7);
    // 08:00 to 14:00 are six hours, no more.
    expect(shown(all)).toEqual(["2026-05-02: 2 4 5 6 7 8", "before: 3"]);
    const later = kept(
      { line: 2, ...at("2026-05-02T08:00") },
      { line: 3, ...at("2026-05-02T14:06") },
      { line: 4, ...at("2026-05-02T08:05") },
    );
    later.nameWalks(pool, []);
    expect(shown(later)).toEqual(["2026-05-02: 2 4", "2026-05-02T14:06: 3"]);
    expect(later.walks().map(({ start }) => start.day)).toEqual(["2026-05-02", "2026-05-02"]);
    const [first, second] = later.walks().map(({ start }) => start.seconds!);
    expect(second! - first!).toBe(6 * 3600 + 6 * 60);
  });

  test("a work between two readings of its circuit ends one", () => {
    const place = { point: "plate", lane: 1, device: null, end: null, lanes: [1] };
    const entry: WorkEntry = {
      ...{ ...place, sharing: "lane", doneAt: readMoment("2026-05-02T09:00")!, line: 2 },
      ...{ action: "cleaned", minutes: null, cost: null, by: null, note: null },
    };
    const rounds = (lane: number) =>
      kept(
        { line: 2, lane, end: "start", ...at("2026-05-02T08:00") },
        { line: 3, lane, end: "start", ...at("2026-05-02T10:00") },
      );
    const [touched, other] = [rounds(1), rounds(7)];
    touched.nameWalks(pool, [entry]);
    other.nameWalks(pool, [entry]);
    expect(shown(touched)).toEqual(["2026-05-02: 2", "2026-05-02T10:00: 3"]);
    expect(shown(other)).toEqual(["2026-05-02: 2 3"]);
  });
});
