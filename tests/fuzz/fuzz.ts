/**
 * Sheets and YAML files by the thousand, each from a seed: `npm run fuzz -- [inputs] [first seed]`. What is wrong is
 * printed with its seed; the status is 1 where anything was.
 */
import { sheetNames } from "./make-sheet.ts";
import { yamlNames } from "./make-yaml.ts";
import { trySheet } from "./try-sheet.ts";
import { tryYaml } from "./try-yaml.ts";

const kinds = [
  ...sheetNames.map((name) => ({ name, tried: (seed: number) => trySheet(name, seed) })),
  ...yamlNames.map((name) => ({
    name: `${name}.yaml`,
    tried: (seed: number) => tryYaml(name, seed),
  })),
];

const [inputs = 200_000, first = 1_000_000] = process.argv.slice(2).map(Number);
let wrong = 0;
const start = performance.now();
for (let i = 0; i < inputs; i++) {
  const { name, tried } = kinds[i % kinds.length]!;
  const fault = tried(first + i);
  if (fault === null) continue;
  wrong += 1;
  if (wrong <= 20) console.log(`${name}, seed ${first + i}: ${fault}`);
}
const seconds = ((performance.now() - start) / 1000).toFixed(0);
console.log(`${inputs} inputs in ${seconds} s: ${wrong} wrong`);
process.exitCode = wrong === 0 ? 0 : 1;
