import { expect, test } from "vitest";
import type { Decision } from "../../src/decision/decision.ts";
import { defaultCosts } from "../../src/domain/costs.ts";
import type { WalkDiagnosis } from "../../src/domain/findings.ts";
import type { Pool } from "../../src/domain/pool.ts";
import { unknownFacility } from "../../src/intake/read-facility.ts";
import { decideJson, decideText } from "../../src/report/decide-text.ts";
import { reportDocument } from "../../src/report/html-report.ts";
import { memoDocument } from "../../src/report/memo.ts";
import { documentTexts } from "./document-texts.ts";
import { pool, readings, sound, walk } from "./fixture.ts";
import { memo as options } from "./memo-fixture.ts";

const unknown: Pool = { ...pool, meters: pool.meters.map((one) => ({ ...one, loadOhms: null })) };
const inLoads: WalkDiagnosis = { ...walk, resistanceUnit: "meter load" };
const [first] = walk.connectors;
const decision: Decision = {
  place: first!,
  atFault: 0.97,
  open: 0,
  film: 0.6,
  weeksHeld: [],
  courses: [
    {
      kind: "leave",
      everyWeeks: null,
      replaceIfLow: false,
      replaceUnderVolts: null,
      replaceInWeeks: null,
      presentCost: 100,
      annualCost: 12,
      chanceBest: 1,
      failsBeforeNextCheck: 0.03,
    },
  ],
  preferred: "leave",
  chanceBest: 1,
  cleanMinutes: 12,
  replaceMinutes: 40,
  cleanCost: 8,
  replaceCost: 147,
  breakEvenReading: { kind: "reading", volts: 4.738, contactOhms: 51 },
  breakEvenWeeks: 5,
  bestAgeYears: null,
  stillLowAfterCleaning: false,
};
const assumed = "reckoned as if it were 1000 Ω";
const texts = (from: Pool, found: WalkDiagnosis) => ({
  decide: decideText(from, walk.walk, [decision]).replace(/\s+/g, " "),
  report: documentTexts(
    reportDocument({
      pool: from,
      walk: found,
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
      walk: found,
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
  for (const [name, text] of Object.entries(texts(unknown, inLoads))) {
    expect(text, name).toContain(assumed);
  }
  expect(texts(unknown, inLoads).report).toContain("resistances are multiples of the load");
});

test("where the load is known, nothing is said about an assumed one", () => {
  for (const [name, text] of Object.entries(texts(pool, walk))) {
    expect(text, name).not.toContain("load is not known");
  }
});

test("as JSON a break-even resistance is a multiple of the load, and the assumed load stands by", () => {
  const answer = JSON.parse(decideJson(unknown, walk.walk, [decision], []));
  expect(answer.assumedLoadOhms).toBe(1000);
  expect(answer.decisions[0].breakEvenReading).toEqual({
    kind: "reading",
    volts: 4.738,
    contactLoads: 0.051,
  });
  const known = JSON.parse(decideJson(pool, walk.walk, [decision], []));
  expect(known.assumedLoadOhms).toBeNull();
  expect(known.decisions[0].breakEvenReading.contactOhms).toBe(51);
});
