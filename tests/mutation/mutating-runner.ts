import { appendFileSync, readFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { type RunnerTestCase, TestRunner } from "vitest";
import { type Entry, readJournal } from "./journal.ts";
import { Switches } from "./switches.ts";

// A property that fails is a mutant noticed; which is its smallest counterexample nobody asks.
fc.configureGlobal({ endOnFailure: true });

const folder = process.env["MUTATION_FOLDER"]!;
/** Longer tests [ms of processor time] are left for a later pass. */
const longest = Number(process.env["MUTATION_LONGEST"]);
/** Time that one test may spend on mutants [ms]. */
const patience = Number(process.env["MUTATION_PATIENCE"]);

/** What outlives one file of tests: modules are loaded anew for each. */
interface Kept {
  readonly switches: Switches;
  readonly wanted: ReadonlySet<number>;
  readonly noticed: Set<number>;
  readonly tried: ReadonlySet<string>;
}

function begin(): Kept {
  const wanted = JSON.parse(readFileSync(join(folder, "wanted.json"), "utf8")) as number[];
  const { noticed, tried } = readJournal(folder);
  return { switches: new Switches(), wanted: new Set(wanted), noticed: new Set(noticed), tried };
}

const shared = globalThis as { kept_?: Kept; mutants_?: Switches };
shared.kept_ ??= begin();
const kept = shared.kept_;
shared.mutants_ = kept.switches;

const write = (entry: Entry): void =>
  appendFileSync(join(folder, "journal.txt"), `${entry.join("\t")}\n`);

const titleOf = (test: RunnerTestCase): string => {
  const names = [test.name];
  for (let { suite } = test; suite !== undefined; { suite } = suite) names.unshift(suite.name);
  return [test.file.name, ...names].join(" > ").replaceAll(/\s+/g, " ");
};

const spent = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
};

/**
 * Runs each test as it is, then once more with each mutant on that it came by and that no earlier
 * test has noticed: in one process, on warm code, so that a small test costs a mutant its own
 * milliseconds. What a test leaves behind in memory could make a later run of it fail by itself: at its
 * end it is run once more as it is, and if that fails nothing that it noticed counts.
 */
// biome-ignore lint/style/noDefaultExport: vitest takes its runner from the default export
export default class MutatingRunner extends TestRunner {
  async runTask(test: RunnerTestCase): Promise<void> {
    const run = TestRunner.getTestFn(test) as () => unknown;
    const title = titleOf(test);
    write(["loaded", ...kept.switches.loaded()]);
    write(["start", title]);
    const from = spent();
    const { steps, seen } = await kept.switches.bare(run);
    const took = spent() - from;
    write(["seen", ...seen]);
    if (took > longest) return;
    const until = spent() + patience;
    const noticed: number[] = [];
    for (const id of seen) {
      if (!kept.wanted.has(id) || kept.noticed.has(id) || kept.tried.has(`${title}\t${id}`))
        continue;
      if (spent() > until) {
        write(["late", title]);
        break;
      }
      write(["try", title, id]);
      const answer = await kept.switches.tried(id, 10 * steps + 10_000, run);
      write([answer, id]);
      if (answer === "noticed") noticed.push(id);
      if (answer !== "passed") kept.noticed.add(id);
    }
    if (noticed.length === 0) return;
    try {
      await run();
    } catch {
      write(["spoilt", title, ...noticed]);
      for (const id of noticed) kept.noticed.delete(id);
    }
  }
}
