import { expect, test } from "vitest";
import { partsNow, sparesOf } from "../../src/domain/part.ts";
import { readParts } from "../../src/intake/read-parts.ts";

test("a part's latest line counts; what can't be used is listed with its reason", () => {
  const read = readParts(
    "part,kind,where,since,note\nP1,wall plate,Spare,2026-05-01,\nP1,wall plate,lane 3 plate,2026-06-01,\n" +
      "P2,Wall  plate,spare,,\nP3,,,2026-06-01,\nP4,pad plug,gone,2026-02-31,\n",
    "parts.csv",
  );
  if (!read.ok) throw new Error(read.error.message);
  const { parts, rejected, rows } = read.value;
  expect(partsNow(parts).map(({ tag, where }) => [tag, where])).toEqual([
    ["P1", "lane 3 plate"],
    ["P2", "spare"],
  ]);
  expect(sparesOf(parts, "wall plate")).toBe(1);
  expect(rejected.map(({ line }) => line)).toEqual([5, 6]);
  expect(rows).toEqual({ in: 5, used: 3, rejected: 2, repeats: 0 });
});
