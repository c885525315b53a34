/**
 * Mutation scores, a room at a time: `npm run mutation` for what differs from the main branch,
 * `-- --room circuit` for one room, `-- --room circuit --file divider.ts` for one file of it,
 * `-- --whole` for all rooms. Prints the share of mutants that a room's own tests notice, and which
 * they don't; the status is 1 under 85 %. Stryker changes a copy of the project, one mutant at a time.
 */
import { execFileSync } from "node:child_process";
import { readdirSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { Stryker } from "@stryker-mutator/core";

/** Rooms whose tests are held to the score. */
const rooms = ["circuit", "inference", "diagnosis", "policy", "economics", "intake"];

/** Least share of mutants to be noticed [percent]. */
const least = 85;

/** Noticed by a failed test, or by one that no longer ended. */
const noticed = ["Killed", "Timeout"];

const { values } = parseArgs({
  options: {
    room: { type: "string" },
    file: { type: "string" },
    whole: { type: "boolean", default: false },
    since: { type: "string", default: "origin/main" },
  },
});

const sources = (room: string): string[] =>
  readdirSync(join("src", room), { recursive: true, encoding: "utf8" })
    .map((name) => `src/${room}/${name.replaceAll("\\", "/")}`)
    .filter((name) => name.endsWith(".ts"));

/** Files that differ from another state of the project. */
const changed = (): string[] =>
  execFileSync("git", ["diff", "--name-only", "--diff-filter=d", values.since], {
    encoding: "utf8",
  }).split("\n");

/** What to mutate in a room. */
function filesOf(room: string): string[] {
  const all = sources(room);
  if (values.file !== undefined) return all.filter((name) => name.endsWith(`/${values.file}`));
  if (values.whole || values.room !== undefined) return all;
  const touched = new Set(changed());
  return all.filter((name) => touched.has(name));
}

/** Runs a room's tests over mutants of some of its files, and prints what came of it. */
async function score(room: string, mutate: readonly string[]): Promise<number> {
  process.env["MUTATED_ROOM"] = room;
  const stryker = new Stryker({
    mutate: [...mutate],
    testRunner: "vitest",
    plugins: ["@stryker-mutator/vitest-runner"],
    vitest: { configFile: "tests/mutation/vitest.config.ts", related: false },
    coverageAnalysis: "perTest",
    concurrency: 1,
    reporters: ["progress"],
    warnings: { slow: false },
    // The compiler here has no interface that Stryker could call: it is kept from looking.
    tsconfigFile: "absent.json",
    tempDirName: join(tmpdir(), "dropwise-mutants"),
    ignorePatterns: ["dist", "notebooks"],
    allowConsoleColors: false,
    logLevel: "warn",
    timeoutMS: 20_000,
  } as unknown as ConstructorParameters<typeof Stryker>[0]);
  const mutants = (await stryker.runMutationTest()).filter(({ status }) => status !== "Ignored");
  const left = mutants.filter(({ status }) => !noticed.includes(status));
  for (const { fileName, location, mutatorName, replacement, status } of left)
    console.log(`  ${fileName}:${location.start.line} ${status} ${mutatorName}: ${replacement}`);
  const share = (100 * (mutants.length - left.length)) / mutants.length;
  const endless = mutants.filter(({ status }) => status === "Timeout").length;
  const counts = `${mutants.length - left.length} of ${mutants.length} mutants`;
  const files = mutate.length === 1 ? mutate[0] : `${mutate.length} files`;
  console.log(`${room}: ${share.toFixed(1)} %, ${counts} (${endless} by time), ${files}`);
  return share;
}

const asked = values.room === undefined ? rooms : [values.room];
let under = false;
let none = true;
for (const room of asked) {
  const files = filesOf(room);
  if (files.length === 0) continue;
  none = false;
  if ((await score(room, files)) < least) under = true;
}
if (none) console.log("no file of these rooms to mutate");
process.exitCode = under ? 1 : 0;
