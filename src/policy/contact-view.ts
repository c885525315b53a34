import type { Circuit } from "../domain/circuit.ts";
import type { Costs } from "../domain/costs.ts";
import type { ContactFinding } from "../domain/findings.ts";
import { type CircuitName, circuitKey, sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { CleaningScore } from "../history/cleaning-record.ts";
import { hadSomethingToCure } from "../history/cleaning-score.ts";
import type { ContactBelief as SeasonBelief } from "../history/contact-line.ts";
import type { Spread } from "../history/fouled-spread.ts";
import type { ContactTrend, PoolTrend } from "../history/trend.ts";
import { normalNodes } from "../numerics/weighted-nodes.ts";
import type { BeliefPoint, ContactBelief } from "./contact-belief.ts";
import { oxideAfterFailure } from "./contact-chain.ts";
import type { ContactLaw } from "./contact-law.ts";
import { rateBin } from "./contact-law.ts";
import { type ContactState, contactState } from "./contact-state.ts";
import type { ContactToDecide } from "./decide-pool.ts";
import { contactBehind, pathAround, readingAt } from "./path-around.ts";

/** Least resistance that is told from none [Ω]. */
const LEAST_OHMS = 0.01;

/** What the season says of one contact. */
export interface ContactSeason {
  readonly contact: ContactTrend | undefined;
  /** What its walks leave open about its level and growth. */
  readonly belief: SeasonBelief | undefined;
  /** P(its trouble is oxide). */
  readonly oxide: number;
}

/** P(oxide) that a cleaning which worked leaves at most: film may still turn. Judgement. */
const AFTER_CURE = 0.05;

/** P(oxide) after the cleanings on record, one after another: what failed speaks for it, by Bayes. */
function oxideAfter(cleanings: readonly CleaningScore[], law: ContactLaw): number {
  return cleanings
    .filter((score) => hadSomethingToCure(score) && score.weeksHeld !== null)
    .reduce(
      (oxide, { film }) =>
        film < 0.5 ? oxideAfterFailure(oxide, law.cure) : Math.min(oxide, AFTER_CURE),
      law.oxide,
    );
}

/** Growth and record of a contact; without any, its class's. */
export function seasonOf(
  trend: PoolTrend | null,
  finding: ContactFinding,
  law: ContactLaw,
): ContactSeason {
  const same = (each: CircuitName & { readonly point: string }): boolean =>
    each.point === finding.point && sameCircuit(each, finding);
  const contact = trend?.contacts.find(same);
  const record = trend?.cleanings.contacts.find(same);
  const fitted = contact?.segments.findLast(({ begunBy }) => begunBy === "replaced")?.begun;
  const since = (record?.cleanings ?? []).filter(({ day }) => day >= (fitted ?? day));
  return { contact, belief: trend?.beliefs.find(same), oxide: oxideAfter(since, law) };
}

/** Levels further apart than this do not speak of the same contact [ln Ω]; under this all are sound. */
const [APART, SOUND_OHMS] = [1, 5] as const;
/** Points of a belief that weigh less are left out. */
const NEGLIGIBLE = 1e-4;

type LevelPoint = Pick<BeliefPoint, "growth" | "level" | "weight">;

/** Points nearer than this in level are taken together. */
const LEVEL_BIN = 0.4;

/** Growth and level together, as the walks leave them open; of what conducts. Near points as one. */
function seasonPoints({ belief }: ContactSeason): readonly LevelPoint[] {
  const bins = new Map<
    string,
    { weight: number; level: number; rate: number; kind: LevelPoint["growth"]["kind"] }
  >();
  let whole = 0;
  for (const { kind, rate, ohms, weight } of belief?.points ?? []) {
    if (weight < NEGLIGIBLE || ohms <= 0) continue;
    const level = Math.log(ohms);
    const key = `${rateBin({ kind, rate })} ${Math.round(level / LEVEL_BIN)}`;
    const bin = bins.get(key) ?? { weight: 0, level: 0, rate: 0, kind };
    bin.weight += weight;
    bin.level += weight * level;
    bin.rate += weight * rate;
    bins.set(key, bin);
    whole += weight;
  }
  return [...bins.values()].map(({ weight, level, rate, kind }) => ({
    growth: { kind, rate: rate / weight },
    level: level / weight,
    weight: weight / whole,
  }));
}

/** Levels as this walk's diagnosis has them, growths as given: each with each. */
function walkPoints(
  { sound, fouled, soundLog, fouledLog }: ContactState,
  growths: readonly Pick<BeliefPoint, "growth" | "weight">[],
): readonly LevelPoint[] {
  const of = ({ mean, sd }: Spread, share: number, count: number) =>
    normalNodes(mean, sd, count).map(({ value, weight }) => ({
      level: value,
      weight: share * weight,
    }));
  const whole = sound + fouled;
  if (whole <= 0) return [];
  return [...of(soundLog, sound / whole, 3), ...of(fouledLog, fouled / whole, 5)].flatMap(
    ({ level, weight }) =>
      growths.map((each) => ({ growth: each.growth, level, weight: weight * each.weight })),
  );
}

/** Does the season's level speak of the contact that this walk has found? */
function agree(season: readonly LevelPoint[], { sound, fouledLog }: ContactState): boolean {
  const mean = season.reduce((sum, { level, weight }) => sum + weight * level, 0);
  if (sound >= 0.5) return mean < Math.log(SOUND_OHMS);
  return Math.abs(mean - fouledLog.mean) < APART;
}

/** What the diagnosis and the season together believe of a contact. */
export function beliefOf(
  pool: Pool,
  finding: ContactFinding,
  season: ContactSeason,
  law: ContactLaw,
): ContactBelief {
  const state = contactState(finding, pool.contact);
  const points = seasonPoints(season);
  const growths =
    points.length > 0 ? points : law.modes.map((growth) => ({ growth, weight: growth.weight }));
  const levels = points.length > 0 && agree(points, state) ? points : walkPoints(state, growths);
  const mended = stillLow(season) ? 0 : law.mendable;
  const { open } = state;
  const parts = [
    ...levels.map((each) => ({ state: "conducts", ...each, weight: (1 - open) * each.weight })),
    ...law.modes.flatMap((growth) => [
      { growth, level: 0, state: "open", weight: open * mended * growth.weight },
      { growth, level: 0, state: "open-for-good", weight: open * (1 - mended) * growth.weight },
    ]),
  ] as readonly Omit<BeliefPoint, "oxide">[];
  const kept = parts.filter(({ weight }) => weight > 0);
  const whole = kept.reduce((sum, { weight }) => sum + weight, 0);
  return kept.map((each) => ({ oxide: season.oxide, ...each, weight: each.weight / whole }));
}

/** Cleaned last, and the first walk after it found the trouble still there. */
export const stillLow = ({ contact }: ContactSeason): boolean =>
  contact?.segments.at(-1)?.begunBy === "cleaned" && contact.lastCleaning?.weeksHeld === 0;

/** What reading one path again costs: the reading, and the way to the lane [currency]. */
function readingPrice(costs: Costs, seconds: { reading: number; laneWalk: number }): number {
  return (costs.labourPerHour.value * (seconds.reading + seconds.laneWalk)) / 3600;
}

/** One contact ready to be decided on. `excess`: what the others of its path have over sound ones. */
export function contactView(
  pool: Pool,
  costs: Costs,
  circuit: Circuit,
  belief: ContactBelief,
  excess: number,
  seconds: { reading: number; laneWalk: number },
): ContactToDecide {
  const path = pathAround(pool, circuit);
  return {
    circuit: circuitKey(circuit),
    belief,
    excess,
    reading: {
      volts: (level) => readingAt(path, Math.exp(level), excess),
      noise: pool.meters[0]!.noise,
      badShare: pool.model.badShare,
      misread: pool.model.misread,
      emf: path.emf,
      price: readingPrice(costs, seconds),
    },
    levelBehind: (volts) => Math.log(Math.max(LEAST_OHMS, contactBehind(path, volts, excess))),
  };
}
