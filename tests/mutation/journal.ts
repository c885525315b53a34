import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";

/** A line of the journal: what happened, then to which test or mutants. */
export type Entry = readonly [
  "start" | "loaded" | "seen" | "try" | "noticed" | "endless" | "passed" | "late" | "spoilt",
  ...(string | number)[],
];

/** What the tests did to the mutants so far. */
export interface Journal {
  /** Mutants that files came by while they loaded, and tests while they were collected. */
  readonly loaded: ReadonlySet<number>;
  /** Mutants that some test came by. */
  readonly seen: ReadonlySet<number>;
  /** By a failed test, or by one that no longer ended. */
  readonly noticed: ReadonlySet<number>;
  readonly endless: ReadonlySet<number>;
  /** Test and mutant, as `try` lines have them. */
  readonly tried: ReadonlySet<string>;
  /** Tests whose time was up before they had tried all. */
  readonly late: ReadonlySet<string>;
  /** Tests that failed by themselves after mutants; what they noticed counts for nothing. */
  readonly spoilt: ReadonlySet<string>;
  /** The mutant that was being tried at the end of the journal, if one was. */
  readonly trying: number | null;
}

/** Reads the journal that `mutating-runner.ts` writes into a folder. */
export function readJournal(folder: string): Journal {
  const path = join(folder, "journal.txt");
  const loaded = new Set<number>();
  const [seen, noticed, endless] = [new Set<number>(), new Set<number>(), new Set<number>()];
  const [tried, late, spoilt] = [new Set<string>(), new Set<string>(), new Set<string>()];
  let trying: number | null = null;
  const lines = existsSync(path) ? readFileSync(path, "utf8").split("\n") : [];
  for (const line of lines) {
    const [what, ...rest] = line.split("\t");
    if (what === "") continue;
    trying = what === "try" ? Number(rest[1]) : null;
    if (what === "try") tried.add(rest.join("\t"));
    if (what === "loaded") for (const id of rest) loaded.add(Number(id));
    if (what === "seen") for (const id of rest) seen.add(Number(id));
    if (what === "noticed" || what === "endless") noticed.add(Number(rest[0]));
    if (what === "endless") endless.add(Number(rest[0]));
    if (what === "late") late.add(rest[0]!);
    if (what === "spoilt") {
      spoilt.add(rest[0]!);
      for (const id of rest.slice(1)) noticed.delete(Number(id));
    }
  }
  return { loaded, seen, noticed, endless, tried, late, spoilt, trying };
}
