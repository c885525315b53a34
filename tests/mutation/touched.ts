import { execFileSync } from "node:child_process";
import type { Mutant } from "./mutants.ts";

/** Lines of a file, from 1, both ends counted. */
export interface Lines {
  readonly from: number;
  readonly to: number;
}

/** What git says, null where it fails: no repository, no such commit. */
function git(...asked: readonly string[]): string | null {
  try {
    const stdio = ["ignore", "pipe", "ignore"] as const;
    return execFileSync("git", asked, { encoding: "utf8", stdio: [...stdio] }).trim();
  } catch {
    return null;
  }
}

/**
 * What a change is compared with: where its branch left `origin/main`; on main itself the last commit
 * where something is not committed yet, else the one before it. Null where git knows none of them.
 */
export function stateBefore(): string | null {
  const head = git("rev-parse", "HEAD");
  const fork = git("merge-base", "HEAD", "origin/main");
  if (fork !== null && fork !== head) return fork;
  return git("diff", "--quiet", "HEAD") === null && head !== null
    ? head
    : git("rev-parse", "--verify", "HEAD~1");
}

/** Lines that differ from another state of the project, by file; null where git does not know it. */
export function touchedSince(state: string | null): ReadonlyMap<string, readonly Lines[]> | null {
  if (state === null) return null;
  const diff = git("diff", "--unified=0", "--no-color", "--no-ext-diff", "--diff-filter=d", state);
  return diff === null ? null : touchedLines(diff);
}

/** Lines that stand in a file now and did not before; of lines that went, their neighbours. */
export function touchedLines(diff: string): ReadonlyMap<string, readonly Lines[]> {
  const touched = new Map<string, Lines[]>();
  let lines: Lines[] = [];
  for (const said of diff.split("\n")) {
    const file = /^\+\+\+ b\/(.*)$/.exec(said)?.[1];
    if (file !== undefined) {
      lines = [];
      touched.set(file, lines);
    }
    const hunk = /^@@ -\S+ \+(\d+)(?:,(\d+))? @@/.exec(said);
    if (hunk === null) continue;
    const [from, count] = [Number(hunk[1]), Number(hunk[2] ?? 1)];
    lines.push({ from, to: count === 0 ? from + 1 : from + count - 1 });
  }
  return touched;
}

/** Whether a mutant changes something in one of these lines. */
export const isIn = (lines: readonly Lines[], { line, lastLine }: Mutant): boolean =>
  lines.some(({ from, to }) => line <= to && lastLine >= from);
