import { expect, test } from "vitest";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";

const made = readPool("pool: Kestrel Bay\nlanes: 3\ndevices: [touchpad]", "pool.yaml");
if (!made.ok) throw new Error(JSON.stringify(made.error));
const pool = made.value;

const head = "id,lane,point,volts,taken_at,state\n";
const shown = (rows: string): readonly string[] =>
  readReadings(head + rows, pool, "r.csv").readings.map(
    ({ id, lane, volts }) => `${id ?? "-"} ${lane} ${volts}`,
  );

test("a row with the state struck takes back the reading of its id, before it or after it", () => {
  const [one, two] = ["a,1,pod,4.19,2026-05-02T08:00:00,\n", "b,1,pod,4.91,2026-05-02T08:00:00,\n"];
  const struck = "a,1,pod,4.19,2026-05-02T08:00:00,struck\n";
  expect(shown(one + two + struck)).toEqual(["b 1 4.91"]);
  expect(shown(struck + one + two)).toEqual(["b 1 4.91"]);
  expect(shown(struck + struck + one + one + two)).toEqual(["b 1 4.91"]);
});

test("a value that is written again after it was struck stands, by its own id", () => {
  const rows =
    "a,1,pod,4.98,2026-05-02T08:00:00,\na,1,pod,4.98,2026-05-02T08:00:00,struck\n" +
    "c,1,pod,4.98,2026-05-02T08:00:00,\n";
  expect(shown(rows)).toEqual(["c 1 4.98"]);
});

test("where one of the two has no id, place, time and value tell; without a time, the walk", () => {
  expect(
    shown(",1,pod,4.9,2026-05-02T08:00:00Z,\na,1,pod,4.90,2026-05-02T10:00:00+02:00,struck\n"),
  ).toEqual([]);
  expect(
    shown(",1,pod,4.9,2026-05-02T08:00:00,\na,1,pod,4.9,2026-05-02T08:00:01,struck\n"),
  ).toEqual(["- 1 4.9"]);
  expect(shown(",1,pod,4.9,,\n,2,pod,4.9,,\n,1,pod,4.9,,struck\n")).toEqual(["- 2 4.9"]);
});

test("rows in are used, rejected or repeats, struck ones and those that strike among the used", () => {
  const rows =
    "a,1,pod,4.9,2026-05-02T08:00:00,\na,1,pod,4.9,2026-05-02T08:00:00,struck\n" +
    "b,9,pod,4.9,,struck\nc,2,pod,4.9,2026-05-02T08:01:00,\nc,2,pod,4.9,2026-05-02T08:01:00,\n";
  const { rows: counts, rejected } = readReadings(head + rows, pool, "r.csv");
  expect(counts).toEqual({ in: 5, used: 3, rejected: 1, repeats: 1 });
  expect(rejected[0]?.fields).toMatchObject({ state: "struck", lane: "9" });
});
