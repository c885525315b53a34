import { expect, test } from "vitest";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { chartsOf, distinctCharts, figure } from "../../src/report/document.ts";
import { reportDocument } from "../../src/report/html-report.ts";
import { emptyWalk } from "../made-findings.ts";

const chart = (name: string) => ({ name, finding: "", subtitle: "", alt: "", spec: {} }) as never;
const namesOf = (charts: readonly never[]): readonly string[] =>
  chartsOf({ title: "", letterhead: [], blocks: distinctCharts(charts.map(block)) }).map(
    ({ name }) => name,
  );
const block = (one: never) => figure(one, "");

test("two pictures never share a key; a picture shown twice keeps its own", () => {
  const [a, b, c] = [chart("path-a"), chart("path-a"), chart("path-a-2")];
  expect(namesOf([a, a, b, c])).toEqual(["path-a", "path-a-2", "path-a-2-2"]);
});

// 255 bytes is NAME_MAX of Linux's usual file systems (limits.h); the endings take up to 8.
test("a picture's name is short enough for a file, in any script, and still its own", () => {
  const names = namesOf([
    chart("赤".repeat(200)),
    chart(`${"赤".repeat(200)}青`),
    chart("🏊".repeat(90)),
  ]);
  expect(new Set(names).size).toBe(3);
  for (const name of names) {
    expect(Buffer.byteLength(name)).toBeLessThan(240);
    expect(name).not.toContain("\uFFFD");
  }
});

test("where a lane has two ends, each device of each end has its path's picture", () => {
  const read = readPool(
    "pool: K\nlanes: 2\nends: [start, turn]\ndevices:\n  - touchpad\n  - { name: touchpad, end: turn }\n",
    "p",
  );
  if (!read.ok) throw new Error("the pool file is wrong");
  const pool = read.value;
  const text =
    "lane,device,end,point,volts,walk\n1,touchpad,start,pod,4.97,w\n1,touchpad,turn,pod,4.2,w\n";
  const { readings } = readReadings(text, pool, "a.csv");
  expect(readings).toHaveLength(2);
  const sound = pool.circuits.map((one) => ({
    ...one,
    ...{ point: "pod", median: 4.98, low: 4.95, high: 5 },
  }));
  const document = reportDocument({
    ...{ pool, walk: emptyWalk, readings, sound, rejects: [], decisions: [], season: null },
  });
  const paths = chartsOf(document).filter(({ name }) => name.startsWith("path-"));
  expect(paths.map(({ finding }) => finding)).toEqual([
    "Touchpad (start end): every path read stays where a sound path would be",
    "Touchpad (turn end): nothing suspect; lowest reading 4.20 V at the pod of lane 1",
  ]);
});
