import type { WorkAction } from "../../domain/work.ts";
import type { ContactLife, Entry, Stage } from "./contact-life.ts";
import { densityTable, type PathValues } from "./path-values.ts";
import { clockAt, type SeasonClock } from "./season-clock.ts";
import type { SeasonData } from "./season-data.ts";

/** One value shown on a path. */
export interface PathValue {
  readonly walk: number;
  readonly position: number;
  readonly shown: number;
  readonly step: number;
  readonly noise: number;
  readonly load: number;
  /** Probability of the value by no path at all. */
  readonly stray: number;
}

/** One path, as plain values. */
export interface PathInput {
  readonly wires: readonly number[];
  /** Class of the contact at each position. */
  readonly groups: readonly number[];
  readonly sourceOhms: number;
  /** Which of the season's supplies it hangs on. */
  readonly supply: number;
  readonly values: readonly PathValue[];
  /** `afterWalk`: it was done after so many walks. */
  readonly works: readonly {
    readonly position: number;
    readonly day: number;
    readonly afterWalk: number;
    readonly action: WorkAction;
  }[];
}

/** A whole season, as plain values. */
export interface SeasonInput {
  readonly days: Float64Array;
  readonly paths: readonly PathInput[];
  readonly groups: number;
  readonly supplies: SeasonData["supplies"];
  readonly driftSd: number;
  readonly floor: SeasonData["floor"];
  readonly fouled: SeasonData["fouled"];
  readonly strokes: SeasonData["strokes"];
  readonly misread: number;
  readonly tails: number;
  /** Day from which the forecast looks ahead. */
  readonly from: number;
}

/** What is known of the season beside its values. */
export interface SeasonEvents {
  readonly clock: SeasonClock;
  /** Steps shared by the pool, in order. */
  readonly steps: readonly PoolStep[];
  readonly strokes: readonly Stroke[];
}

/** A step that the pool's contacts may have taken in front of this walk, and the chance that it came. */
export interface PoolStep {
  readonly walk: number;
  readonly chance: number;
}

/** One contact that fouled at a stroke, in front of this walk. */
export interface Stroke {
  readonly path: number;
  readonly position: number;
  readonly walk: number;
}

/** Sorts one path's values by walk and position. */
export function pathValues(
  path: PathInput,
  walks: number,
  { misread, tails }: Pick<SeasonInput, "misread" | "tails">,
  density: Float64Array,
): PathValues {
  const contacts = path.wires.length;
  const sorted = path.values.toSorted(
    (a, b) => (a.walk - b.walk) * contacts + a.position - b.position,
  );
  const first = new Int32Array(walks * contacts + 1);
  for (const { walk, position } of sorted) first[walk * contacts + position + 1]!++;
  for (let i = 1; i < first.length; i++) first[i]! += first[i - 1]!;
  const column = (key: Exclude<keyof PathValue, "walk" | "position">): Float64Array =>
    Float64Array.from(sorted, (value) => value[key]);
  return {
    contacts,
    first,
    shown: column("shown"),
    step: column("step"),
    noise: column("noise"),
    rounding: column("step").map((step) => (step * step) / 12),
    load: column("load"),
    stray: column("stray"),
    wires: Float64Array.from(path.wires),
    sourceOhms: path.sourceOhms,
    supply: path.supply,
    misread,
    tails,
    density,
  };
}

/** The lives of one contact: works and strokes end stages, replacements end lives, steps divide stages. */
function livesOf(
  input: SeasonInput,
  p: number,
  position: number,
  { clock, steps, strokes }: SeasonEvents,
): readonly ContactLife[] {
  const { groups, works } = input.paths[p]!;
  const own = works
    .filter((work) => work.position === position)
    .toSorted((a, b) => a.afterWalk - b.afterWalk || a.day - b.day);
  const walks = input.days.length;
  const lives: ContactLife[] = [];
  let stages: Stage[] = [];
  const end = (): void => {
    if (stages.length > 0) lives.push({ path: p, position, group: groups[position]!, stages });
    stages = [];
  };
  const begins = [
    { entry: { kind: "start", known: false } as Entry, day: input.days[0]!, walk: 0 },
    ...[
      ...own.map(({ action, day, afterWalk }) => ({
        entry: entryOf(action),
        day,
        walk: afterWalk,
      })),
      ...strokes
        .filter((stroke) => stroke.path === p && stroke.position === position)
        .map(({ walk }) => ({ entry: { kind: "stroke" } as Entry, day: input.days[walk]!, walk })),
    ].sort((a, b) => a.walk - b.walk || a.day - b.day),
  ];
  begins.forEach(({ entry, day, walk }, n) => {
    const next = begins[n + 1];
    if (next !== undefined && walk === 0 && next.walk === 0) return;
    const known = walk === 0 && n > 0;
    if (entry.kind === "start" || known) end();
    const begun = clockAt(clock, day);
    const ends = clockAt(clock, next?.day ?? Math.max(input.from, day));
    const to = next?.walk ?? walks;
    const first: Entry = known ? { kind: "start", known: true } : entry;
    const cuts = steps.filter((step) => step.walk > walk && step.walk < to);
    const borders = [
      { entry: first, from: walk },
      ...cuts.map(({ walk: from, chance }) => ({ entry: { kind: "step", chance } as Entry, from })),
    ];
    borders.forEach((border, i) => {
      stages.push({ ...border, to: borders[i + 1]?.from ?? to, weeks: ends - begun, ends });
    });
  });
  end();
  return lives;
}

const entryOf = (action: WorkAction): Entry =>
  action === "replaced" ? { kind: "start", known: true } : { kind: "worked", action };

/** Everything that the fit needs, steps and idle weeks being known. */
export function buildSeason(input: SeasonInput, events: SeasonEvents): SeasonData {
  const walks = input.days.length;
  const density = densityTable(input.tails);
  return {
    days: input.days,
    clock: input.days.map((day) => clockAt(events.clock, day)),
    supplies: input.supplies,
    driftSd: input.driftSd,
    floor: input.floor,
    fouled: input.fouled,
    strokes: input.strokes,
    paths: input.paths.map((path) => pathValues(path, walks, input, density)),
    lives: input.paths.map((path, p) =>
      path.wires.map((_, position) => livesOf(input, p, position, events)),
    ),
    groups: input.groups,
  };
}
