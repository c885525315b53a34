import { readFileSync } from "node:fs";
import { Instrumenter } from "@stryker-mutator/instrumenter";

/** A change to a source, to be noticed by a test. */
export interface Mutant {
  readonly id: number;
  readonly file: string;
  /** Its first and last line, from 1. */
  readonly line: number;
  readonly lastLine: number;
  /** What kind of change, and what stands there then. */
  readonly kind: string;
  readonly replacement: string;
}

/** Sources that hold all their mutants at once, each behind a switch. */
export interface Mutated {
  readonly mutants: readonly Mutant[];
  /** By file, what is to be loaded in its place. */
  readonly code: Readonly<Record<string, string>>;
}

const quiet = { isDebugEnabled: () => false, debug: () => {}, info: () => {} };

/**
 * Every mutant that Stryker makes of these files, and the files with all of them in it. Stryker's own
 * switches are functions that it declares in each file; they give way to those of `switches.ts`,
 * which also count steps, so that a mutant that never ends is found out.
 */
export async function mutantsOf(files: readonly string[]): Promise<Mutated> {
  const instrumenter = new Instrumenter(quiet as never);
  const found = await instrumenter.instrument(
    files.map((name) => ({ name, content: readFileSync(name, "utf8"), mutate: true })),
    { plugins: null, excludedMutations: [], ignorers: [] },
  );
  const mutants = found.mutants.map(
    ({ id, fileName, location, mutatorName, replacement }): Mutant => ({
      id: Number(id),
      file: fileName,
      line: location.start.line + 1,
      lastLine: location.end.line + 1,
      kind: mutatorName,
      replacement: replacement.replaceAll(/\s+/g, " "),
    }),
  );
  const switched = (code: string): string =>
    `const mutants_ = globalThis.mutants_;\n${code}`
      .replaceAll(/\bstryMutAct_9fa48\("(\d+)"\)/g, "mutants_.isOn($1)")
      .replaceAll(/\bstryCov_9fa48\(("\d+"(?:, "\d+")*)\)/g, (_, ids: string) => {
        return `mutants_.see(${ids.replaceAll('"', "")})`;
      });
  return {
    mutants,
    code: Object.fromEntries(found.files.map(({ name, content }) => [name, switched(content)])),
  };
}
