import { expect, test } from "vitest";
import { laneMap } from "../../../src/report/charts/lane-map.ts";
import { pathProfile } from "../../../src/report/charts/path-profile.ts";
import { suspects } from "../../../src/report/charts/suspects.ts";
import { poolFrom } from "../../plain-pool.ts";
import { pool, readings, sound, walk } from "../fixture.ts";
import { checkChart, marks, texts } from "./check.ts";

test("the map shows every point once and says in words which are weak", async () => {
  const chart = laneMap(pool, walk, readings);
  const svg = await checkChart(chart);
  const drawn = texts(svg);
  expect(chart.finding).toBe(
    "Suspect, in walking order: lane 3 plate connector (0.39 V), lane 5 harness connector (0.19 V), lane 7 button-1 pod terminals (4.90 V)",
  );
  expect(drawn.filter((text) => /^\d\.\d\d$/.test(text)).length).toBe(64);
  expect(drawn.filter((text) => text === "fault here").length).toBe(4);
  // Under 4.80 V behind a fault: lane 3 pod, lane 5 plate and pod of the touchpad.
  expect(drawn.filter((text) => text === "weak").length).toBe(3);
  expect(drawn.filter((text) => text === "read again").length).toBe(1);
  // One rectangle a reading and one frame a flagged cell.
  expect(marks(svg, "mark-rect")).toBe(64 + 7);
});

test("a point that nobody read says so", async () => {
  const partial = readings.filter((one) => !(one.lane === 2 && one.point === "harness"));
  const svg = await checkChart(laneMap(pool, walk, partial));
  expect(texts(svg).filter((text) => text === "not read").length).toBe(2);
});

test("the profile draws one panel a lane and names the lane furthest below", async () => {
  const chart = pathProfile(pool, walk.walk, "touchpad", readings, sound);
  const svg = await checkChart(chart);
  expect(chart.finding).toContain("2 of 8 lanes");
  expect(chart.finding).toContain("lane 3 furthest (4.58 V at the pod)");
  expect(texts(svg).filter((text) => /^Lane \d$/.test(text)).length).toBe(8);
  expect(marks(svg, "mark-symbol")).toBe(32);
  expect(marks(svg, "mark-area")).toBe(8);
});

test("a device whose paths are all sound gets a title that says so", async () => {
  const healthy = readings.filter((one) => one.lane === 1 || one.lane === 2);
  const chart = pathProfile(pool, walk.walk, "touchpad", healthy, sound);
  await checkChart(chart);
  expect(chart.finding).toBe("Every touchpad path read stays where a sound path would be");
});

test("the ranking has one bar a suspect, an interval, and a mark for an open contact", async () => {
  const chart = suspects(walk);
  const svg = await checkChart(chart);
  const drawn = texts(svg);
  expect(drawn.filter((text) => /^\d\. /.test(text)).length).toBe(6);
  expect(drawn).toContain("over 99 %");
  expect(drawn).toContain("85 Ω");
  expect(drawn.filter((text) => text === "open ▶").length).toBe(1);
});

test("hostile names are drawn as text, not as markup", async () => {
  const hostile = "<script>alert(1)</script>";
  const renamed = poolFrom({ ...pool, lanes: [hostile, ...pool.lanes.slice(1)] });
  const moved = readings.map((one) => (one.lane === 1 ? { ...one, lane: hostile } : one));
  const svg = await checkChart(laneMap(renamed, walk, moved));
  expect(svg).not.toContain("<script");
  expect(texts(svg)).toContain(hostile);
});
