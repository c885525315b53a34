import { GridFilter, weighPath } from "./grid-filter.ts";
import { cleanPrice, deck, type Law, replacePrice } from "./law.ts";
import { levelValue, type Optimum, worksFrom } from "./optimum.ts";
import type { Contact } from "./world.ts";

export type Work = "wait" | "clean" | "replace" | "read-again";

/** What a player sees at one stage of one walk. */
export interface Sight {
  readonly week: number;
  /** 0: the walk; 1, 2: after its works, or read again. */
  readonly stage: number;
  /** Volts of this stage by lane and point; null where a lane was not read again. */
  readonly volts: readonly (readonly number[] | null)[];
  readonly emf: number;
  /** The truth, for who may see it. */
  readonly truth: readonly (readonly Contact[])[];
}

/** Somebody who keeps the pool: says at each stage what to do with each contact. */
export interface Player {
  readonly name: string;
  act(sight: Sight): readonly (readonly Work[])[];
  /** Told of what passes: one more week is over, or a work was done. */
  passWeek?(): void;
  worked?(lane: number, k: number, work: "clean" | "replace"): void;
}

const drops = (volts: readonly number[], emf: number): readonly number[] =>
  volts.map((v, k) => (k === 0 ? emf : volts[k - 1]!) - v);

/** Cleans where the last point reads low, the contact that drops most, and replaces after so many failures. */
export function handRule(name: string, under: number, failures: number): Player {
  const failed = new Map<string, number>();
  const cleaned = new Set<string>();
  return {
    name,
    act: ({ volts, stage }) =>
      volts.map((path, lane) => {
        const works: Work[] = deck.points.map(() => "wait");
        if (path === null || stage > 1) return works;
        const low = path.at(-1)! < under;
        const fall = drops(path, deck.emf);
        const k = fall.indexOf(Math.max(...fall));
        const key = `${lane} ${k}`;
        if (!low) {
          for (const j of works.keys()) if (stage === 1) failed.delete(`${lane} ${j}`);
          return works;
        }
        if (stage === 1 && cleaned.has(key)) failed.set(key, (failed.get(key) ?? 0) + 1);
        works[k] = (failed.get(key) ?? 0) >= failures ? "replace" : "clean";
        return works;
      }),
    passWeek: () => cleaned.clear(),
    worked: (lane, k, work) => {
      const key = `${lane} ${k}`;
      if (work === "clean") cleaned.add(key);
      else {
        failed.delete(key);
        cleaned.delete(key);
      }
    },
  };
}

/** Cleans everything every so many weeks, and replaces nothing but what stays dead. */
export const cleanEvery = (weeks: number): Player => ({
  name: `clean all every ${weeks} weeks`,
  act: ({ week, stage, volts }) =>
    volts.map((path) =>
      deck.points.map((_, k): Work => {
        if (path === null) return "wait";
        if (stage === 0) return week % weeks === 0 ? "clean" : "wait";
        const dead = path[k]! < 0.5 && (k === 0 || path[k - 1]! > 0.5);
        return stage === 1 && week % weeks === 0 && dead ? "replace" : "wait";
      }),
    ),
});

const cheapestOf = (costs: Readonly<Record<"wait" | "clean" | "replace", number>>): Work =>
  costs.wait <= costs.clean && costs.wait <= costs.replace
    ? "wait"
    : costs.clean <= costs.replace
      ? "clean"
      : "replace";

const SOUND = 0.3;

/**
 * Decides the contacts of a path, the worst first. `excess`: what the others have over sound ones;
 * one that was worked on weighs on the others no more.
 */
function worstFirst(ohms: readonly number[], decide: (k: number, excess: number) => Work): Work[] {
  const path = [...ohms];
  const works: Work[] = path.map(() => "wait");
  const order = [...path.keys()].sort((a, b) => path[b]! - path[a]!);
  for (const k of order) {
    const excess = path.reduce((sum, r, j) => sum + (j === k ? 0 : Math.max(0, r - SOUND)), 0);
    works[k] = decide(k, Math.min(excess, 1e4));
    if (works[k] !== "wait") path[k] = SOUND;
  }
  return works;
}

/** Sees everything: the exact optimum of each contact. */
export const seer = (optima: readonly Optimum[]): Player => ({
  name: "optimum, sees true states",
  act: ({ truth, stage }) =>
    truth.map((path) =>
      worstFirst(
        path.map(({ ohms }) => ohms),
        (k, excess) => {
          const [optimum, contact] = [optima[k]!, path[k]!];
          const solution = optimum.solve(contact.nature);
          return stage > 1
            ? "wait"
            : cheapestOf(worksFrom(optimum, solution, contact, stage, excess));
        },
      ),
    ),
});

/** How a filter's belief is decided on; `excess`: what the others of the path add [ohm]. */
export type Decide = (filter: GridFilter, k: number, stage: number, excess: number) => Work;

/** The optimum's values averaged over the filter. */
const byValue =
  (optima: readonly Optimum[]): Decide =>
  (filter, k, stage, excess) => {
    const sum = { wait: 0, clean: 0, replace: 0 };
    for (const each of filter.states()) {
      const { solution } = optima[k]!.typical[each.row]!;
      const works = worksFrom(optima[k]!, solution, each, stage, excess);
      for (const key of ["wait", "clean", "replace"] as const) sum[key] += each.weight * works[key];
    }
    return cheapestOf(sum);
  };

/** Knows the law and the prices, sees readings, and reads again before every work. */
export function filterPlayer(name: string, law: Law, lanes: number, decide: Decide): Player {
  const filters = Array.from({ length: lanes }, () => deck.points.map(() => new GridFilter(law)));
  return {
    name,
    act: ({ volts, emf, stage }) =>
      volts.map((shown, lane) => {
        const path = filters[lane]!;
        if (shown === null || stage > 2) return deck.points.map((): Work => "wait");
        weighPath(path, shown, emf);
        const ohms = path.map((each) => each.ohms().mean);
        return worstFirst(ohms, (k, excess) => {
          const work = decide(path[k]!, k, stage === 2 ? 1 : 0, excess);
          return stage === 0 && work !== "wait" ? "read-again" : work;
        });
      }),
    passWeek: () => {
      for (const path of filters) for (const filter of path) filter.passWeek();
    },
    worked: (lane, k, work) => filters[lane]![k]!.work(work),
  };
}

export const knowingFilter = (law: Law, optima: readonly Optimum[], lanes: number): Player =>
  filterPlayer("filter, knows law and prices", law, lanes, byValue(optima));

/** What a contact is worth at the end, by the optimum: what was put off must be paid for. */
export const leftOver = (optimum: Optimum, contact: Contact): number =>
  levelValue(optimum.solve(contact.nature).best, contact);

export const workPrice = (k: number, work: "clean" | "replace"): number =>
  (work === "clean" ? cleanPrice : replacePrice)(deck.points[k]!);
