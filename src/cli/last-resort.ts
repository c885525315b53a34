import { mkdtempSync, writeFileSync, writeSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

/** What a crash file may tell of a run. */
export interface CrashedRun {
  /** This program's version. */
  readonly version: string;
  /** The command and the names of its options, without what was said with them. */
  readonly command: string;
  /** The user asked for the error's own words, which may hold what stood in a file. */
  readonly withWords: boolean;
}

/** The status of a fault of the program itself: `EX_SOFTWARE` of BSD's sysexits.h (from memory). */
export const programFault = 70;

/** `check --pool --json`: what was asked for, and nothing that a person wrote. */
export const commandShape = (args: readonly string[], commands: readonly string[]): string =>
  args
    .filter((arg, i) => (i === 0 && commands.includes(arg)) || /^--[a-z-]+(=|$)/.test(arg))
    .map((arg) => arg.replace(/=.*$/s, ""))
    .join(" ");

/** Where it happened: functions, files and lines, but no message. */
const framesOf = (error: Error): string[] =>
  (error.stack ?? "").split("\n").filter((line) => /^\s+at /.test(line));

/** What stands in a crash file: enough to find the fault, and no reading of anybody's. */
export function crashText(error: unknown, run: CrashedRun): string {
  const own = error instanceof Error ? error : new Error(String(error));
  const words = run.withWords
    ? [own.message]
    : ["(words left out: DROPWISE_CRASH_WORDS=1 shows them)"];
  return [
    `dropwise ${run.version}, node ${process.version}, ${process.platform} ${process.arch}`,
    `command: ${run.command}`,
    `error: ${own.name}`,
    ...words,
    ...framesOf(own),
    "",
  ].join("\n");
}

/** A crash file in the system's folder for such; null where none can be written. */
function writeCrash(text: string): string | null {
  try {
    const path = join(mkdtempSync(join(tmpdir(), "dropwise-")), "crash.txt");
    writeFileSync(path, text, { mode: 0o600 });
    return path;
  } catch {
    return null;
  }
}

/** The one sentence that the user reads. */
export function crashSentence(path: string | null): string {
  const what = "a fault of this program, and nothing is wrong with your files or with you";
  if (path === null) return `dropwise: ${what}; no file about it could be written`;
  return `dropwise: ${what}: please send ${path} (no readings in it) to whoever maintains Dropwise`;
}

/** The last resort: one sentence, a crash file, status 70; never a stack trace. */
export function lastResort(error: unknown, run: CrashedRun): never {
  const sentence = crashSentence(writeCrash(crashText(error, run)));
  try {
    writeSync(2, `${sentence}\n`);
  } catch {
    // Nobody listens; the status still tells.
  }
  process.exit(programFault);
}
