/**
 * Writes walks.json: every reference walk with its answer by brute force, and how far a second run
 * with other points (another shift, half as many) came out from the first.
 *
 *   npm run reference                 all walks
 *   npm run reference -- "fine"       only those whose name contains the word
 */
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { bruteForce, type Resolution } from "./brute-force.ts";
import { type Disagreement, largestDisagreement } from "./disagreement.ts";
import type { StoredWalk } from "./stored-walks.ts";
import { referenceWalks } from "./walks.ts";

const file = new URL("walks.json", import.meta.url);
const fine: Resolution = { points: 8192, shift: 0 };
const other: Resolution = { points: 4096, shift: 5 };

const stored: StoredWalk[] = existsSync(file) ? JSON.parse(readFileSync(file, "utf8")) : [];
const answers = new Map(stored.map((walk) => [walk.name, walk]));
const wanted = process.argv[2] ?? "";

for (const { name, pool, readings } of referenceWalks.filter((w) => w.name.includes(wanted))) {
  const began = performance.now();
  const answer = bruteForce(pool, readings, fine);
  const selfCheck: Disagreement = largestDisagreement(answer, bruteForce(pool, readings, other));
  answers.set(name, { name, pool, readings, answer, selfCheck });
  const seconds = ((performance.now() - began) / 1000).toFixed(0);
  console.log(`${name}: ${seconds} s, two runs differ by`, selfCheck);
  const kept = referenceWalks.flatMap((walk) => answers.get(walk.name) ?? []);
  writeFileSync(file, `${JSON.stringify(kept, null, 1)}\n`);
}
