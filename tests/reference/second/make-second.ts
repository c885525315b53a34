/**
 * Writes second-walks.json: every case of second-cases.ts with its answer by brute force over the
 * whole model, and how far a second run with half as many other points came out from the first.
 *
 *   npm run reference -- "zeros"                             both references, cases so named
 *   npx tsx tests/reference/second/make-second.ts "zeros"    this one alone
 *   npx tsx tests/reference/second/make-second.ts "" new     cases without a stored answer
 */
import { writeFileSync } from "node:fs";
import { gapsBetween, goodEnough, largestGaps } from "./answer-gaps.ts";
import { poolText, sheetText } from "./facility-text.ts";
import type { Fineness } from "./look-around.ts";
import { secondCases } from "./second-cases.ts";
import { secondReference } from "./second-reference.ts";
import { type StoredSecond, secondFile, storedSecond } from "./stored-second.ts";

const fine: Fineness = { points: Number(process.env["POINTS"] ?? 8192), draws: 16, shift: 0 };
const other: Fineness = { ...fine, points: fine.points / 2, shift: 5 };

/** Six digits are ten times as many as are known. */
const sixDigits = (_: string, value: unknown): unknown =>
  typeof value === "number" ? Number(value.toPrecision(6)) : value;

const wanted = process.argv[2] ?? "";
const known = new Set(process.argv[3] === "new" ? storedSecond().map(({ name }) => name) : []);
const asked = secondCases.filter(({ name }) => name.includes(wanted) && !known.has(name));
for (const { name, facility, rows } of asked) {
  const began = performance.now();
  const answer = secondReference(facility, rows, fine);
  const gaps = gapsBetween(secondReference(facility, rows, other), answer);
  const unsure = gaps.filter(({ kind, size }) => size > goodEnough[kind]);
  const ownError = largestGaps(gaps, (gap) => !unsure.includes(gap));
  const entry: StoredSecond = {
    name,
    pool: poolText(facility),
    readings: sheetText(facility, rows),
    answer,
    ownError,
    unsure: unsure.map(({ where }) => where),
  };
  const seconds = ((performance.now() - began) / 1000).toFixed(0);
  const worst = JSON.stringify(largestGaps(gaps), sixDigits);
  console.log(`${name}: ${seconds} s, ${unsure.length} unsure, two runs differ by ${worst}`);
  const answers = new Map(storedSecond().map((walk) => [walk.name, walk]));
  answers.set(name, entry);
  const kept = secondCases.flatMap((c) => answers.get(c.name) ?? []);
  const lines = kept.map((walk) => JSON.stringify(walk, sixDigits));
  writeFileSync(secondFile, `[\n${lines.join(",\n")}\n]\n`);
}
