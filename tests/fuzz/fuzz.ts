/**
 * Sheets by the thousand, each from a seed: `npm run fuzz -- [inputs] [first seed]`. What is wrong is
 * printed with its seed; the status is 1 where anything was.
 */
import { sheetNames } from "./make-sheet.ts";
import { trySheet } from "./try-sheet.ts";

const [inputs = 200_000, first = 1_000_000] = process.argv.slice(2).map(Number);
let wrong = 0;
const start = performance.now();
for (let i = 0; i < inputs; i++) {
  const sheet = sheetNames[i % sheetNames.length]!;
  const fault = trySheet(sheet, first + i);
  if (fault === null) continue;
  wrong += 1;
  if (wrong <= 20) console.log(`${sheet}, seed ${first + i}: ${fault}`);
}
const seconds = ((performance.now() - start) / 1000).toFixed(0);
console.log(`${inputs} inputs in ${seconds} s: ${wrong} wrong`);
process.exitCode = wrong === 0 ? 0 : 1;
