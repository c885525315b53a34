/**
 * Mutation scores, a room at a time: `npm run mutation` for the lines that a change touches (since
 * `--since COMMIT`, else what `touched.ts` compares with), `-- --room circuit` for one room,
 * `-- --room circuit --file divider.ts` (again for more files) for some of it, `-- --whole` for all
 * rooms. Prints the share of mutants that a room's own tests notice, and which they don't; the status
 * is 1 under 85 %, of a change where more than two besides survive: a change of few mutants may well
 * hold one that no test can notice. The mutants are Stryker's; `mutating-runner.ts` says how they are
 * tried.
 *
 * With `--seconds 100` the rooms share so much time; one whose tests have not come to their end by then
 * is stopped, which is said, and not held to the score. With `--folder DIR` it goes on there the next
 * time, as long as sources are the same.
 *
 * With `--share 0.1` only mutants within stretches of twelve lines are tried, one stretch in ten, the
 * same ones every time. What acts only while a file loads (tables, schemas) is left out, because each
 * such mutant wants all files loaded anew. Tests of over 50 ms come last, each for `--patience` seconds
 * of mutants: what is not noticed by then counts as not noticed.
 */
import { spawn } from "node:child_process";
import {
  appendFileSync,
  existsSync,
  mkdirSync,
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
import { type Mutant, type Mutated, mutantsOf } from "./mutants.ts";
import { isIn, stateBefore, touchedSince } from "./touched.ts";

/** Rooms whose tests are held to the score. */
const rooms = ["circuit", "inference", "diagnosis", "policy", "economics", "intake"];

/** Least share of mutants to be noticed [percent]. */
const least = 85;

/** Survivors that a change may have whatever the share. */
const spared = 2;

const { values } = parseArgs({
  options: {
    room: { type: "string" },
    file: { type: "string", multiple: true },
    whole: { type: "boolean", default: false },
    share: { type: "string", default: "1" },
    patience: { type: "string", default: "10" },
    since: { type: "string" },
    seconds: { type: "string", default: "Infinity" },
    folder: { type: "string" },
  },
});

const sources = (room: string): string[] =>
  readdirSync(join("src", room), { recursive: true, encoding: "utf8" })
    .map((name) => `src/${room}/${name.replaceAll("\\", "/")}`)
    .filter((name) => name.endsWith(".ts"));

/** Whether it is said what to mutate; else it is what a change touches. */
const isSaid = values.whole || values.room !== undefined || values.file !== undefined;

/** Lines that a change touches, by file; null where files are named, or git can't tell. */
const touched = isSaid ? null : touchedSince(values.since ?? stateBefore());

/** What to mutate in a room. */
function filesOf(room: string): string[] {
  const all = sources(room);
  const { file } = values;
  if (file !== undefined)
    return all.filter((name) => file.some((asked) => name.endsWith(`/${asked}`)));
  return isSaid ? all : all.filter((name) => touched?.has(name));
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

/** How a run of a room's tests ended: by itself, at a mutant without end, or at its time. */
type Ending = "whole" | "endless" | "stopped";

/** Runs a room's tests once over its mutants. `until`: when it is stopped [ms, as `Date.now` has it]. */
function pass(room: string, folder: string, longest: number, until: number): Promise<Ending> {
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
    const stop = (ending: Ending): void => {
      clearInterval(watch);
      process.kill(-vitest.pid!, "SIGKILL");
      resolve(ending);
    };
    const watch = setInterval(() => {
      if (Date.now() > until) return stop("stopped");
      const { trying } = readJournal(folder);
      if (trying === null || Date.now() - statSync(journal).mtimeMs < SILENCE) return;
      stop("endless");
      appendFileSync(journal, `\nendless\t${trying}\n`);
    }, 2000);
    vitest.on("exit", (code) => {
      clearInterval(watch);
      if (code === 0) resolve("whole");
      else if (code !== null) reject(new Error(`the tests fail without mutants\n${said}`));
    });
  });
}

/** Tries mutants pass after pass; whether they came to their end by then. */
async function tryAll(room: string, folder: string, until: number): Promise<boolean> {
  // A change's few mutants are soon tried: one pass over all tests, not short ones before long ones.
  for (const longest of touched !== null ? [Infinity] : [50, Infinity]) {
    let ending: Ending;
    do ending = await pass(room, folder, longest, until);
    while (ending === "endless");
    if (ending === "stopped") return false;
  }
  return true;
}

/** Where a run is written down; what another run of the same mutants has left there counts. */
function folderFor(room: string, mutated: Mutated, wanted: readonly Mutant[]): string {
  const folder =
    values.folder === undefined
      ? mkdtempSync(join(tmpdir(), "dropwise-mutants-"))
      : join(values.folder, room);
  mkdirSync(folder, { recursive: true });
  const files = {
    "mutated.json": JSON.stringify(mutated),
    "wanted.json": JSON.stringify(wanted.map(({ id }) => id)),
  };
  const isSame = Object.entries(files).every(([name, text]) => {
    const path = join(folder, name);
    return existsSync(path) && readFileSync(path, "utf8") === text;
  });
  if (isSame) return folder;
  for (const [name, text] of Object.entries(files)) writeFileSync(join(folder, name), text);
  writeFileSync(join(folder, "journal.txt"), "");
  return folder;
}

/** Tries the mutants of some of a room's files, and prints what came of it: whether it is enough. */
async function isEnough(room: string, asked: readonly string[], until: number): Promise<boolean> {
  const share = Number(values.share);
  const mutated = await mutantsOf(asked);
  const tests = new Map(asked.map((file) => [file, inShare(file, share)]));
  const inTouched = (one: Mutant) => touched === null || isIn(touched.get(one.file)!, one);
  const wanted = mutated.mutants.filter((one) => tests.get(one.file)!(one) && inTouched(one));
  if (wanted.length === 0) {
    console.log(`${room}: no mutant to try`);
    return true;
  }
  const folder = folderFor(room, mutated, wanted);
  const whole = await tryAll(room, folder, until);
  const { seen, noticed, endless, late, spoilt, loaded } = readJournal(folder);
  if (values.folder === undefined) rmSync(folder, { recursive: true });
  const judged = wanted.filter(({ id }) => seen.has(id) || !loaded.has(id));
  const left = judged.filter(({ id }) => !noticed.has(id));
  const found = judged.length - left.length;
  if (!whole) {
    const count = `${found} of ${judged.length} mutants were noticed by then`;
    console.log(`${room}: stopped before its end, out of time: ${count}; the rest is not judged`);
    return true;
  }
  for (const { id, file, line, kind, replacement } of left) {
    const how = seen.has(id) ? "survived" : "no test came by";
    console.log(`  ${file}:${line} ${how}, ${kind}: ${replacement.slice(0, 200)}`);
  }
  for (const title of late) console.log(`  out of time: ${title}`);
  for (const title of spoilt) console.log(`  counts for nothing, fails after mutants: ${title}`);
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
  return !(percent < least) || (touched !== null && left.length <= spared);
}

const asked = (values.room === undefined ? rooms : [values.room])
  .map((room) => ({ room, files: filesOf(room) }))
  .filter(({ files }) => files.length > 0);
const end = Date.now() + 1000 * Number(values.seconds);
let under = false;
for (const [k, { room, files }] of asked.entries()) {
  const until = Date.now() + (end - Date.now()) / (asked.length - k);
  if (!(await isEnough(room, files, until))) under = true;
}
if (!isSaid && touched === null) console.log("nothing mutated: git knows no state to compare with");
else if (asked.length === 0)
  console.log(`nothing mutated: ${isSaid ? "no such file" : "no file of these rooms differs"}`);
process.exitCode = under || (isSaid && asked.length === 0) ? 1 : 0;
