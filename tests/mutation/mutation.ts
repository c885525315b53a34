/**
 * Mutation scores, a room at a time: `npm run mutation` for what differs from the main branch,
 * `-- --room circuit` for one room, `-- --room circuit --file divider.ts` (again for more files) for
 * some of it, `-- --whole` for all rooms. Prints the share of mutants that a room's own tests notice,
 * and which they don't; the status is 1 under 85 %. The mutants are Stryker's; `mutating-runner.ts`
 * says how they are tried.
 *
 * With `--share 0.1` only mutants within stretches of twelve lines are tried, one stretch in ten, the
 * same ones every time. What acts only while a file loads (tables, schemas) is left out, because each
 * such mutant wants all files loaded anew. Tests of over 50 ms come last, each for `--patience` seconds
 * of mutants: what is not noticed by then counts as not noticed.
 */
import { execFileSync, spawn } from "node:child_process";
import {
  appendFileSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { seededRandom } from "../study/random.ts";
import { readJournal } from "./journal.ts";
import { type Mutant, mutantsOf } from "./mutants.ts";

/** Rooms whose tests are held to the score. */
const rooms = ["circuit", "inference", "diagnosis", "policy", "economics", "intake"];

/** Least share of mutants to be noticed [percent]. */
const least = 85;

const { values } = parseArgs({
  options: {
    room: { type: "string" },
    file: { type: "string", multiple: true },
    whole: { type: "boolean", default: false },
    share: { type: "string", default: "1" },
    patience: { type: "string", default: "10" },
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

/** Lines of a stretch whose mutants are tried or not. */
const STRETCH = 12;

/** Whether a share of a file's stretches has a mutant in it. */
function inShare(file: string, share: number): (mutant: Mutant) => boolean {
  if (share >= 1) return () => true;
  const lines = readFileSync(file, "utf8").split("\n").length;
  const seed = [...file].reduce((sum, letter) => (31 * sum + letter.charCodeAt(0)) >>> 0, 7);
  const { uniform } = seededRandom(seed);
  const chosen = Array.from({ length: Math.ceil(lines / STRETCH) }, () => uniform() < share);
  return ({ line }) => chosen[Math.floor((line - 1) / STRETCH)]!;
}

/** Silence after which a mutant is taken for one without end [ms]. */
const SILENCE = 60_000;

/** Runs a room's tests once over its mutants: whether they came to their end. */
function pass(room: string, folder: string, longest: number): Promise<boolean> {
  const journal = join(folder, "journal.txt");
  const vitest = spawn("npx", ["vitest", "run", "-c", "tests/mutation/vitest.config.ts"], {
    env: {
      ...process.env,
      MUTATED_ROOM: room,
      MUTATION_FOLDER: folder,
      MUTATION_LONGEST: String(longest),
      MUTATION_PATIENCE: String(1000 * Number(values.patience)),
    },
    detached: true,
    stdio: ["ignore", "pipe", "pipe"],
  });
  let said = "";
  for (const stream of [vitest.stdout, vitest.stderr])
    stream.on("data", (text: Buffer) => {
      said += text.toString();
    });
  return new Promise((resolve, reject) => {
    const watch = setInterval(() => {
      const { trying } = readJournal(folder);
      if (trying === null || Date.now() - statSync(journal).mtimeMs < SILENCE) return;
      clearInterval(watch);
      process.kill(-vitest.pid!, "SIGKILL");
      appendFileSync(journal, `\nendless\t${trying}\n`);
      resolve(false);
    }, 5000);
    vitest.on("exit", (code) => {
      clearInterval(watch);
      if (code === 0) resolve(true);
      else if (code !== null) reject(new Error(`the tests fail without mutants\n${said}`));
    });
  });
}

/** Tries the mutants of some of a room's files, and prints what came of it. */
async function score(room: string, asked: readonly string[]): Promise<number> {
  const folder = mkdtempSync(join(tmpdir(), "dropwise-mutants-"));
  const share = Number(values.share);
  const mutated = await mutantsOf(asked);
  const tests = new Map(asked.map((file) => [file, inShare(file, share)]));
  const wanted = mutated.mutants.filter((one) => tests.get(one.file)!(one));
  if (wanted.length === 0) return 100;
  writeFileSync(join(folder, "mutated.json"), JSON.stringify(mutated));
  writeFileSync(join(folder, "wanted.json"), JSON.stringify(wanted.map(({ id }) => id)));
  writeFileSync(join(folder, "journal.txt"), "");
  for (const longest of [50, Number.POSITIVE_INFINITY])
    while (!(await pass(room, folder, longest)));
  const { seen, noticed, endless, late, spoilt, loaded } = readJournal(folder);
  const judged = wanted.filter(({ id }) => seen.has(id) || !loaded.has(id));
  const left = judged.filter(({ id }) => !noticed.has(id));
  for (const { id, file, line, kind, replacement } of left) {
    const how = seen.has(id) ? "survived" : "no test came by";
    console.log(`  ${file}:${line} ${how}, ${kind}: ${replacement.slice(0, 200)}`);
  }
  for (const title of late) console.log(`  out of time: ${title}`);
  for (const title of spoilt) console.log(`  counts for nothing, fails after mutants: ${title}`);
  const found = judged.length - left.length;
  const percent = (100 * found) / judged.length;
  const files = asked.length === 1 ? asked[0] : `${asked.length} files`;
  const part = share < 1 ? `, one stretch in ${(1 / share).toFixed(0)}` : "";
  const out = wanted.length - judged.length;
  const loading = out > 0 ? `, ${out} left out that act while a file loads` : "";
  const byTime = judged.filter(({ id }) => endless.has(id)).length;
  console.log(
    `${room}: ${percent.toFixed(1)} %, ${found} of ${judged.length} mutants (${byTime} without end), ` +
      `${files}${part}${loading}`,
  );
  rmSync(folder, { recursive: true });
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
