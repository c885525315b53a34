import type { Lane } from "../domain/place.ts";

/** Something that can be put right before the meet. */
export interface Fix {
  readonly id: string;
  readonly minutes: number;
  /** Chance that it does what it is meant to. */
  readonly chance: number;
}

/** A lane that is not ready, and all that it needs to be. */
export interface LaneNeed {
  readonly lane: Lane;
  readonly fixes: readonly string[];
}

/** What to do, in this order. */
export interface FixPlan {
  readonly steps: readonly FixStep[];
  readonly minutes: number;
  /** Lanes expected to be ready by it: the sum of their chances. */
  readonly expectedReady: number;
  /** Fixes for which there is no time. */
  readonly left: readonly string[];
  /** True where no choice within the time makes more lanes ready, and no order is better. */
  readonly exact: boolean;
}

export interface FixStep {
  readonly id: string;
  readonly minutes: number;
  /** Minutes from the start to its end. */
  readonly done: number;
  /** Lanes that it completes. */
  readonly makes: readonly Lane[];
  /** Lanes made ready per minute by it and the steps that it belongs with. */
  readonly perMinute: number;
}

interface Job {
  readonly lane: Lane;
  readonly shared: readonly string[];
  readonly own: readonly string[];
  readonly ownMinutes: number;
  readonly value: number;
}

const sharedLimit = 10;

/**
 * What to put right in the time left, in the order that makes most lanes ready per minute.
 *
 * A lane is ready when all its fixes are done; a fix that several lanes wait for is done once. What
 * is done: for every set of shared fixes, the best lanes by a knapsack over tenths of minutes:
 * exact (shared fixes up to ten). In which order: again and again the group of fixes with most
 * lanes per minute (Sidney's decomposition), which minimises the lane-minutes of waiting exactly
 * while at most one shared fix is chosen, and is a sound rule with more.
 */
export function fixOrder(
  fixes: readonly Fix[],
  lanes: readonly LaneNeed[],
  minutesLeft: number | null,
): FixPlan {
  const byId = new Map(fixes.map((fix) => [fix.id, fix]));
  const shared = fixes.filter((f) => lanes.filter((l) => l.fixes.includes(f.id)).length > 1);
  const jobs = lanes.map((lane) => jobOf(lane, byId, shared));
  const chosen = choose(jobs, shared, minutesLeft ?? Number.POSITIVE_INFINITY);
  const steps = sequence(chosen, byId);
  const needed = new Set(lanes.flatMap((lane) => lane.fixes));
  const done = new Set(steps.map((step) => step.id));
  const sharedUsed = new Set(chosen.flatMap((job) => job.shared));
  return {
    steps,
    minutes: steps.at(-1)?.done ?? 0,
    expectedReady: chosen.reduce((sum, job) => sum + job.value, 0),
    left: [...needed].filter((id) => !done.has(id)),
    exact: shared.length <= sharedLimit && sharedUsed.size <= 1,
  };
}

function jobOf(need: LaneNeed, byId: ReadonlyMap<string, Fix>, shared: readonly Fix[]): Job {
  const find = (id: string): Fix => {
    const fix = byId.get(id);
    if (fix === undefined)
      throw new Error(`lane ${need.lane} needs a fix that is not listed: ${id}`);
    return fix;
  };
  const isShared = (id: string): boolean => shared.some((fix) => fix.id === id);
  const own = need.fixes.filter((id) => !isShared(id));
  return {
    lane: need.lane,
    shared: need.fixes.filter(isShared),
    own,
    ownMinutes: own.reduce((sum, id) => sum + find(id).minutes, 0),
    value: need.fixes.reduce((chance, id) => chance * find(id).chance, 1),
  };
}

/** The lanes that are worth most within the time, over every set of shared fixes. */
function choose(jobs: readonly Job[], shared: readonly Fix[], minutes: number): Job[] {
  // Past the limit only "all shared fixes or those of one lane" is tried, and `exact` says so.
  const sets = shared.length <= sharedLimit ? subsets(shared) : [...onesFor(jobs, shared), shared];
  let best: { jobs: Job[]; value: number; minutes: number } = { jobs: [], value: 0, minutes: 0 };
  for (const set of sets) {
    const fixed = set.reduce((sum, fix) => sum + fix.minutes, 0);
    if (fixed > minutes) continue;
    const open = jobs.filter((job) => job.shared.every((id) => set.some((fix) => fix.id === id)));
    const picked = knapsack(open, minutes - fixed);
    const value = picked.reduce((sum, job) => sum + job.value, 0);
    const total = fixed + picked.reduce((sum, job) => sum + job.ownMinutes, 0);
    const better = value > best.value + 1e-12;
    const cheaper = Math.abs(value - best.value) <= 1e-12 && total < best.minutes - 1e-12;
    if (better || cheaper) best = { jobs: picked, value, minutes: total };
  }
  return best.jobs;
}

function knapsack(jobs: readonly Job[], minutes: number): Job[] {
  const worth = jobs.filter((job) => job.value > 0);
  const tenths = worth.map((job) => Math.ceil(job.ownMinutes * 10 - 1e-9));
  const room = Math.min(
    Math.floor(minutes * 10 + 1e-9),
    tenths.reduce((sum, t) => sum + t, 0),
  );
  // value[i][t]: most that the first i jobs can be worth within t tenths of a minute
  const value = [new Float64Array(room + 1)];
  worth.forEach((job, i) => {
    const before = value[i]!;
    const cost = tenths[i] ?? 0;
    const now = Float64Array.from(before);
    for (let t = cost; t <= room; t += 1)
      now[t] = Math.max(before[t] ?? 0, (before[t - cost] ?? 0) + job.value);
    value.push(now);
  });
  const picked: Job[] = [];
  for (let i = worth.length, t = room; i > 0; i -= 1) {
    if ((value[i]?.[t] ?? 0) <= (value[i - 1]?.[t] ?? 0)) continue;
    picked.unshift(worth[i - 1]!);
    t -= tenths[i - 1] ?? 0;
  }
  return picked;
}

/** Blocks of most lanes per minute, one after the other; the shared fixes of a block come first. */
function sequence(jobs: readonly Job[], byId: ReadonlyMap<string, Fix>): FixStep[] {
  const minutesOf = (id: string): number => byId.get(id)?.minutes ?? 0;
  const done = new Set<string>();
  const steps: FixStep[] = [];
  let clock = 0;
  let waiting = [...jobs];
  while (waiting.length > 0) {
    const block = densest(waiting, done, minutesOf);
    const open = new Set(block.jobs);
    for (const ids of [block.shared, ...block.jobs.map((job) => job.own)]) {
      for (const id of ids) {
        clock += minutesOf(id);
        done.add(id);
        const makes = [...open].filter((j) => [...j.shared, ...j.own].every((f) => done.has(f)));
        for (const job of makes) open.delete(job);
        const lanes = makes.map((job) => job.lane);
        steps.push({
          id,
          minutes: minutesOf(id),
          done: clock,
          makes: lanes,
          perMinute: block.rate,
        });
      }
    }
    waiting = waiting.filter((job) => !block.jobs.includes(job));
  }
  return steps;
}

function densest(
  waiting: readonly Job[],
  done: ReadonlySet<string>,
  minutesOf: (id: string) => number,
): { shared: string[]; jobs: Job[]; rate: number } {
  const open = [...new Set(waiting.flatMap((job) => job.shared))].filter((id) => !done.has(id));
  const sets = open.length <= sharedLimit ? subsets(open) : [[], open];
  let best: { shared: string[]; jobs: Job[]; rate: number } | null = null;
  for (const set of sets) {
    const ready = waiting
      .filter((job) => job.shared.every((id) => done.has(id) || set.includes(id)))
      .sort((a, b) => b.value / b.ownMinutes - a.value / a.ownMinutes);
    let minutes = set.reduce((sum, id) => sum + minutesOf(id), 0);
    let value = 0;
    ready.forEach((job, i) => {
      minutes += job.ownMinutes;
      value += job.value;
      const rate = minutes > 0 ? value / minutes : Number.POSITIVE_INFINITY;
      if (best === null || rate > best.rate + 1e-12)
        best = { shared: [...set], jobs: ready.slice(0, i + 1), rate };
    });
  }
  if (best === null) throw new Error("no lane can be made ready from a list that has one");
  return best;
}

function subsets<T>(all: readonly T[]): T[][] {
  const sets: T[][] = [[]];
  for (const one of all) sets.push(...sets.map((set) => [...set, one]));
  return sets;
}

const onesFor = (jobs: readonly Job[], shared: readonly Fix[]): Fix[][] =>
  jobs.map((job) => shared.filter((fix) => job.shared.includes(fix.id)));
