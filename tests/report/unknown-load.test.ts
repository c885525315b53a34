import { expect, test } from "vitest";
import { defaultCosts } from "../../src/domain/costs.ts";
import type { Decision } from "../../src/domain/decision.ts";
import { unknownFacility } from "../../src/domain/facility.ts";
import type { Pool } from "../../src/domain/pool.ts";
import { decideJson } from "../../src/report/decide-json.ts";
import { decideText } from "../../src/report/decide-text.ts";
import { reportDocument } from "../../src/report/html-report.ts";
import { memoDocument } from "../../src/report/memo.ts";
import { documentTexts } from "./document-texts.ts";
import { pool, readings, sound, walk } from "./fixture.ts";
import { memo as options } from "./memo-fixture.ts";

const unknown: Pool = { ...pool, meters: pool.meters.map((one) => ({ ...one, loadOhms: null })) };
const [first] = walk.connectors;
const decision: Decision = {
  place: first!,
  atFault: 0.97,
  open: 0,
  film: 0.6,
  weeksHeld: [],
  courses: [{ kind: "wait", presentCost: 100, chanceBest: 1 }],
  action: "wait",
  sure: 1,
  presentCost: 100,
  thresholds: { first: "clean", cleanUnder: 4.83, replaceUnder: null, replaceAfter: 2 },
  lastPoint: "pod",
  lookMinutes: 4,
  lookCost: 2.67,
  ifNoBreak: null,
  cleanMinutes: 12,
  replaceMinutes: 40,
  cleanCost: 8,
  replaceCost: 147,
  breakEvenPart: null,
  stillLowAfterCleaning: false,
};
const assumed = "reckoned as if it were 1000 Ω";
const texts = (from: Pool) => ({
  decide: decideText(from, walk.walk, [decision]).replace(/\s+/g, " "),
  report: documentTexts(
    reportDocument({
      pool: from,
      walk,
      readings,
      rejects: [],
      sound,
      decisions: [decision],
      season: null,
    }),
  ).join("\n"),
  memo: documentTexts(
    memoDocument({
      pool: from,
      walk,
      readings,
      cleanings: [],
      decisions: [],
      options,
      costs: defaultCosts(pool.links),
      facility: unknownFacility,
    }),
  ).join("\n"),
});

test("where nobody knows the load, everything that names money says which one it rests on", () => {
  for (const [name, text] of Object.entries(texts(unknown))) {
    expect(text, name).toContain(assumed);
  }
  expect(texts(unknown).report).toContain("no circuit can be called sound");
});

test("where the load is known, nothing is said about an assumed one", () => {
  for (const [name, text] of Object.entries(texts(pool))) {
    expect(text, name).not.toContain("load is not known");
  }
});

test("as JSON the assumed load stands beside the decisions", () => {
  expect(JSON.parse(decideJson(unknown, walk.walk, [decision], [])).assumedLoadOhms).toBe(1000);
  expect(JSON.parse(decideJson(pool, walk.walk, [decision], [])).assumedLoadOhms).toBeNull();
});
