/**
 * Mutation scores, a room at a time: `npm run mutation` for what differs from the main branch,
 * `-- --room circuit` for one room, `-- --room circuit --file divider.ts` (again for more files) for
 * some of it, `-- --whole` for all rooms. Prints the share of mutants that a room's own tests notice,
 * and which they don't; the status is 1 under 85 %. Stryker changes a copy of the project, one mutant
 * at a time.
 *
 * With `--share 0.1` only stretches of twelve lines are mutated, one in ten, the same ones every time: an
 * estimate for rooms that would take hours; mutants longer than their stretch are not among them. What
 * runs once while a file loads (tables, schemas) is left out unless `--static` asks for it, because
 * every such mutant takes all of the room's tests.
 */
import { execFileSync } from "node:child_process";
import { readdirSync, readFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { Stryker } from "@stryker-mutator/core";
import { seededRandom } from "../study/random.ts";

/** Rooms whose tests are held to the score. */
const rooms = ["circuit", "inference", "diagnosis", "policy", "economics", "intake"];

/** Least share of mutants to be noticed [percent]. */
const least = 85;

/** Noticed by a failed test, or by one that no longer ended. */
const noticed = ["Killed", "Timeout"];

const { values } = parseArgs({
  options: {
    room: { type: "string" },
    file: { type: "string", multiple: true },
    whole: { type: "boolean", default: false },
    share: { type: "string", default: "1" },
    static: { type: "boolean", default: false },
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
  const { file } = values;
  if (file !== undefined)
    return all.filter((name) => file.some((asked) => name.endsWith(`/${asked}`)));
  if (values.whole || values.room !== undefined) return all;
  const touched = new Set(changed());
  return all.filter((name) => touched.has(name));
}

/** Lines of a stretch that is mutated or not. */
const STRETCH = 12;

/** The stretches of a file that a share of them comes to, as Stryker wants them named. */
function stretchesOf(file: string, share: number): string[] {
  if (share >= 1) return [file];
  const lines = readFileSync(file, "utf8").split("\n").length;
  const seed = [...file].reduce((sum, letter) => (31 * sum + letter.charCodeAt(0)) >>> 0, 7);
  const { uniform } = seededRandom(seed);
  return Array.from({ length: Math.ceil(lines / STRETCH) }, (_, at) => STRETCH * at + 1)
    .filter(() => uniform() < share)
    .map((from) => `${file}:${from}-${from + STRETCH - 1}`);
}

/** Runs a room's tests over mutants of some of its files, and prints what came of it. */
async function score(room: string, sources: readonly string[]): Promise<number> {
  process.env["MUTATED_ROOM"] = room;
  const share = Number(values.share);
  const mutate = sources.flatMap((file) => stretchesOf(file, share));
  if (mutate.length === 0) return 100;
  const stryker = new Stryker({
    mutate: [...mutate],
    testRunner: "vitest",
    plugins: ["@stryker-mutator/vitest-runner"],
    vitest: { configFile: "tests/mutation/vitest.config.ts", related: false },
    coverageAnalysis: "perTest",
    ignoreStatic: !values.static,
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
  const all = await stryker.runMutationTest();
  const mutants = all.filter(({ status }) => status !== "Ignored");
  const left = mutants.filter(({ status }) => !noticed.includes(status));
  for (const { fileName, location, mutatorName, replacement, status } of left)
    console.log(`  ${fileName}:${location.start.line} ${status} ${mutatorName}: ${replacement}`);
  const percent = (100 * (mutants.length - left.length)) / mutants.length;
  const endless = mutants.filter(({ status }) => status === "Timeout").length;
  const counts = `${mutants.length - left.length} of ${mutants.length} mutants`;
  const files = sources.length === 1 ? sources[0] : `${sources.length} files`;
  const part = share < 1 ? `, one stretch in ${(1 / share).toFixed(0)}` : "";
  const loading = all.length - mutants.length;
  const out = loading > 0 ? `, ${loading} left out that act while a file loads` : "";
  console.log(
    `${room}: ${percent.toFixed(1)} %, ${counts} (${endless} by time), ${files}${part}${out}`,
  );
  return percent;
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
