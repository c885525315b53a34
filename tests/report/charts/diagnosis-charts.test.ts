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

test("the profile draws one panel a lane and names where volts fall", async () => {
  const chart = pathProfile(pool, walk, "touchpad", readings, sound);
  const svg = await checkChart(chart);
  expect(chart.finding).toBe(
    "Touchpad: volts fall on lane 3 at the plate (4.59 V), on lane 5 at the harness (4.79 V)",
  );
  expect(texts(svg).filter((text) => /^Lane \d$/.test(text)).length).toBe(8);
  expect(marks(svg, "mark-symbol")).toBe(32);
  expect(marks(svg, "mark-area")).toBe(8);
});

test("a device whose paths are all sound gets a title that says so", async () => {
  const healthy = readings.filter((one) => one.lane === 1 || one.lane === 2);
  const chart = pathProfile(pool, walk, "touchpad", healthy, sound);
  await checkChart(chart);
  const none = { ...walk, contacts: walk.contacts.map((one) => ({ ...one, sound: 1 })) };
  expect(pathProfile(pool, none, "touchpad", healthy, sound).finding).toBe(
    "Touchpad: every path read stays where a sound path would be",
  );
});

test("the suspects' bars are the volts of the headline, in its order", async () => {
  const chart = suspects(walk);
  const svg = await checkChart(chart);
  const drawn = texts(svg);
  expect(chart.finding).toBe(laneMap(pool, walk, readings).finding);
  const named = [...chart.finding.matchAll(/\((\d+\.\d\d V)\)/g)].map((match) => match[1]);
  expect(named.length).toBe(3);
  expect(drawn.filter((text) => /^\d+\.\d\d V$/.test(text)).slice(0, 3)).toEqual(named);
  expect(drawn).toContain("over 99 %");
  expect(drawn).toContain("85 Ω");
  // An open contact has no place on a scale of ohms: a word beside it.
  expect(drawn.filter((text) => text === "open").length).toBe(1);
});

test("hostile names are drawn as text, not as markup", async () => {
  const hostile = "<script>alert(1)</script>";
  const renamed = poolFrom({ ...pool, lanes: [hostile, ...pool.lanes.slice(1)] });
  const moved = readings.map((one) => (one.lane === 1 ? { ...one, lane: hostile } : one));
  const svg = await checkChart(laneMap(renamed, walk, moved));
  expect(svg).not.toContain("<script");
  expect(texts(svg)).toContain(`lane ${hostile}`);
});
