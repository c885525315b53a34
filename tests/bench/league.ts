/**
 * A league of many pools, each a folder of its own: `npm run bench:league`, `-- --pools 1000 --whole 20`.
 * Makes the folders from a seed, answers each as `check --json` does (in this one process: a process
 * a folder would add its own start), keeps the answers as lines, loads them into DuckDB, and
 * reckons from that what 10,000 pools walked weekly for ten years would take. `--keep` writes the
 * figures to tests/bench/league/figures.json, which the notebook on the league shows.
 *
 * All folders are answered by the first version's model (`model: plain`), some by the whole one too,
 * whose cost is that of its exact sums.
 */
import { appendFileSync, mkdtempSync, rmSync, statSync, writeFileSync } from "node:fs";
import { cpus, tmpdir } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { answerOf, lineOf } from "./league/answer-line.ts";
import { type LeagueFigures, measuredLines, reckonedLines, spentOf } from "./league/figures.ts";
import { madeFolder, plainly } from "./league/made-folders.ts";
import { loadLines, packLines, questions } from "./league/store.ts";

const { values } = parseArgs({
  options: {
    pools: { type: "string", default: "1000" },
    whole: { type: "string", default: "20" },
    keep: { type: "boolean", default: false },
  },
});
const pools = Number(values.pools);
const whole = Number(values.whole);

/** This process's own time for some work, and what came of it [s]. */
function spent<Value>(work: () => Value): readonly [seconds: number, value: Value] {
  const { user, system } = process.cpuUsage();
  const value = work();
  const after = process.cpuUsage();
  return [(after.user + after.system - user - system) / 1e6, value];
}

const folder = mkdtempSync(join(tmpdir(), "dropwise-league-"));
const lines = join(folder, "answers.ndjson");
const parquet = join(folder, "answers.parquet");

const plainSeconds: number[] = [];
let readings = 0;
for (let number = 1; number <= pools; number++) {
  const made = plainly(madeFolder(number));
  const [seconds, answer] = spent(() => {
    const answered = answerOf(made);
    return { ...answered, line: lineOf(answered.json) };
  });
  plainSeconds.push(seconds);
  readings += answer.readings;
  appendFileSync(lines, answer.line);
  if (number % 100 === 0) process.stderr.write(`${number} folders\n`);
}

// Spread over the league, so that large pools and small ones are among them.
const [wholeSeconds, aloneSeconds]: [number[], number[]] = [[], []];
for (let index = 0; index < whole; index++) {
  const made = madeFolder(1 + Math.floor((index * pools) / whole));
  wholeSeconds.push(spent(() => answerOf(made))[0]);
  aloneSeconds.push(spent(() => answerOf(made, { alone: true }))[0]);
  process.stderr.write(`${made.name}, whole model: ${wholeSeconds.at(-1)!.toFixed(1)} s\n`);
}

const began = performance.now();
const loaded = await loadLines(lines);
const asked = performance.now();
const answers: Record<string, Awaited<ReturnType<typeof loaded.ask>>> = {};
for (const [name, sql] of Object.entries(questions)) answers[name] = await loaded.ask(sql);
const done = performance.now();
const circuits = Number((await loaded.ask("SELECT count(*)::INT AS n FROM circuits"))[0]!["n"]);
loaded.close();
await packLines(lines, parquet);

const figures: LeagueFigures = {
  machine: `${cpus()[0]?.model ?? "unknown processor"}, Node ${process.versions.node}`,
  ...{ pools, circuits, readings },
  plain: spentOf(plainSeconds),
  whole: spentOf(wholeSeconds),
  alone: spentOf(aloneSeconds),
  lineBytes: statSync(lines).size,
  parquetBytes: statSync(parquet).size,
  loadSeconds: (asked - began) / 1000,
  askSeconds: (done - asked) / 1000,
  answers,
};
rmSync(folder, { recursive: true });

for (const line of measuredLines(figures)) console.log(line);
console.log("Reckoned from these figures, not measured:");
for (const line of reckonedLines(figures)) console.log(line);
if (values.keep) {
  const kept = new URL("league/figures.json", import.meta.url);
  writeFileSync(kept, `${JSON.stringify(figures, null, 2)}\n`);
}
