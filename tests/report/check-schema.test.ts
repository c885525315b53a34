import { readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import { expect, test } from "vitest";
import { diagnose } from "../../src/diagnosis/diagnose.ts";
import { noRows } from "../../src/domain/row-counts.ts";
import { checkJson } from "../../src/report/check-json.ts";
import { checkSchema } from "../../src/report/check-schema.ts";
import { emptyWalk } from "../made-findings.ts";
import { type Shown, sheet, smallPool } from "../reference/builders.ts";
import { walk } from "./fixture.ts";

const isValid = new Ajv2020({ allErrors: true, allowUnionTypes: true }).compile(checkSchema);
const problems = (text: string): unknown => (isValid(JSON.parse(text)) ? [] : isValid.errors);
const none = { rows: noRows, rejected: [] };

test("what is printed fits the schema: a made walk, an empty one, a diagnosed one", () => {
  const pool = smallPool([1], ["a", "b"]);
  const rows: Shown[] = [
    [1, "a", "timer", 4.99],
    [1, "a", "pod", 0],
    [1, "b", "pod", 4.5],
  ];
  const rejected = { file: "a.csv", line: 3, kind: "volts", reason: "no", text: "x", fields: {} };
  const walks = [walk, emptyWalk, diagnose(pool, sheet(rows))];
  const counts = { in: 4, used: 3, rejected: 1, repeats: 0 };
  expect(problems(checkJson("p", walks, { rows: counts, rejected: [rejected] }))).toEqual([]);
  expect(problems(checkJson("p", [], none))).toEqual([]);
});

test("a key too many, a code that is none and a missing key are refused", () => {
  const answer = JSON.parse(checkJson("p", [walk], none));
  expect(isValid({ ...answer, more: 1 })).toBe(false);
  expect(isValid({ ...answer, rows: undefined })).toBe(false);
  const [first] = answer.walks;
  const odd = { ...first, readAgain: [{ ...first.readAgain[0], why: "because" }] };
  expect(isValid({ ...answer, walks: [odd] })).toBe(false);
});

test("the published schema is this one", () => {
  const file = new URL("../../datasets/dropwise-check-2.schema.json", import.meta.url);
  expect(JSON.parse(readFileSync(file, "utf8"))).toEqual(checkSchema);
});
