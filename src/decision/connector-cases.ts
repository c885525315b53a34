import { limitVoltsOr0 } from "../circuit/limit.ts";
import { type Circuit, pathWire, sourceOr0 } from "../domain/circuit.ts";
import {
  type ConnectorCosts,
  type Costs,
  connectorDefaults,
  defaultCosts,
} from "../domain/costs.ts";
import type { ConnectorFinding, Estimate, WalkDiagnosis } from "../domain/findings.ts";
import {
  circuitKey,
  circuitOf,
  connectorOf,
  sameCircuit,
  samePlace,
  serves,
} from "../domain/place.ts";
import { type Pool, UNIT_LOAD } from "../domain/pool.ts";
import type { CleaningScore } from "../history/cleaning-record.ts";
import { hadSomethingToCure } from "../history/cleaning-score.ts";
import type { ContactTrend, PoolTrend } from "../history/trend.ts";
import { TO_EDGE } from "../numerics/normal.ts";
import { contactState } from "../policy/contact-state.ts";
import { lossTogether, shareInUse } from "../policy/lane-roles.ts";
import { workSince } from "../policy/work-since.ts";
import {
  type ConnectorCase,
  type CureRecord,
  contactBehind,
  type PathAround,
  type Spread,
} from "./connector-case.ts";

/**
 * What is assumed where no season has been seen: growth of ln ohms a week, how common film is, and
 * how a reading scatters from meet to meet. Engineering judgement, as in the history's own priors.
 */
const UNSEEN = {
  growth: { mean: 0.05, sd: 0.06 },
  cure: { alpha: 2, beta: 1 },
  scatter: 0.2,
} as const;
/** Scatter from meet to meet is never taken to be less: a plug is shaken, a drop of water falls. */
const LEAST_SCATTER = 0.1;
/** A closed switch [Ω]: what the touch margin leaves room for. */
const CLOSED_SWITCH = 5;
const DAYS_PER_YEAR = 365.25;

/** What the pool is reckoned with. */
export const costsOf = (pool: Pool): Costs => pool.costs ?? defaultCosts(pool.links);

const spreadOf = ({ median, low, high }: Estimate): Spread => ({
  mean: median,
  sd: (high - low) / (2 * TO_EDGE),
});

/** The path around one contact of a circuit, every other contact sound. */
function pathAround(pool: Pool, { path, supply }: Circuit): PathAround {
  const sound = pool.contact.sound.medianOhms;
  return {
    emf: supply.emf,
    loadOhms: pool.meters[0]?.loadOhms ?? UNIT_LOAD,
    sourceOhms: sourceOr0(supply),
    restOhms: pathWire(path) + (path.length - 1) * sound,
  };
}

/** Where the contact's path counts as low, and what that costs in a meet. */
function lowness(
  pool: Pool,
  path: PathAround,
  costs: Costs,
): Pick<ConnectorCase, "lowOhms" | "lossChance"> {
  const least = 2 * pool.contact.sound.medianOhms;
  const input = pool.timerInput;
  if (input !== null && path.sourceOhms > 0 && path.emf > input.lowMax) {
    // Equation (3) at its threshold: all beyond the input is Rs * V_low / (E - V_low).
    const beyond = (path.sourceOhms * input.lowMax) / (path.emf - input.lowMax);
    return { lowOhms: Math.max(least, beyond - CLOSED_SWITCH - path.restOhms), lossChance: 1 };
  }
  const lowOhms = Math.max(least, contactBehind(path, limitVoltsOr0(pool)));
  return { lowOhms, lossChance: costs.lossChance.value };
}

/** The circuits that a connector in trouble takes with it: its weak contacts', else its worst one's. */
function takenBy(pool: Pool, walk: WalkDiagnosis, finding: ConnectorFinding): ReadonlySet<string> {
  const weak = walk.contacts.filter(
    (contact) =>
      contact.point === finding.point && contact.sound < 0.5 && serves(pool, finding, contact),
  );
  return new Set([...weak, finding.worst].map(circuitKey));
}

/** What a meet loses with these circuits, lanes that it does not swim in left out, in lost lanes. */
function lanesLost(pool: Pool, costs: Costs, taken: ReadonlySet<string>): number {
  return shareInUse(pool, costs) * lossTogether(pool, costs.fallbackCost.value, taken);
}

/** What the season says about this connector: its worst contact, its record, its class. */
function seasonOf(trend: PoolTrend | null, finding: ConnectorFinding) {
  const { point } = finding.worst;
  return {
    contact: trend?.contacts.find(
      (each) => sameCircuit(each, finding.worst) && each.point === point,
    ),
    record: trend?.cleanings.connectors.find((each) => samePlace(each, finding)),
    ofClass: trend?.classes.find((each) => each.point === point),
    classRecord: trend?.cleanings.classes.find((each) => each.point === point),
  };
}

const cureOf = (record: CureRecord | undefined): CureRecord => ({
  alpha: record?.alpha ?? UNSEEN.cure.alpha,
  beta: record?.beta ?? UNSEEN.cure.beta,
});

/** How long the cleanings held that had something to cure: others had nothing to hold. */
const heldOf = (cleanings: readonly CleaningScore[]): ConnectorCase["weeksHeld"] =>
  cleanings
    .filter(hadSomethingToCure)
    .flatMap(({ weeksHeld, heldUntil }) =>
      weeksHeld === null ? [] : [{ weeks: weeksHeld, atLeast: heldUntil !== "trouble" }],
    );

/**
 * Age of what was installed at the last walk: since the log's replacement before it, else as the
 * pool file has it.
 */
function ageOf(contact: ContactTrend | undefined, trend: PoolTrend | null, years: number): number {
  const today = trend?.walks.at(-1)?.day;
  if (today === undefined) return years;
  const fitted = contact?.segments.findLast(
    ({ begunBy, begun }) => begunBy === "replaced" && begun <= today,
  );
  return fitted === undefined ? years : (today - fitted.begun) / DAYS_PER_YEAR;
}

/** Cleaned last, and the first walk after it found the trouble still there. */
function stillLow(contact: ContactTrend | undefined): boolean {
  return contact?.segments.at(-1)?.begunBy === "cleaned" && contact.lastCleaning?.weeksHeld === 0;
}

/** Growth in ohms is a share of itself, about here [Ω]; contacts differ by so much at least [per week]. */
const USUAL_OHMS = 10;
const LEAST_SPREAD = 0.03;

/** Growth of a new connector of the class: its mean's error and the contacts' own spread. */
function likeGrowth(season: ReturnType<typeof seasonOf>): Spread {
  const { ofClass } = season;
  if (ofClass === undefined) return UNSEEN.growth;
  const { notGrowing, linear, logRate, ohmRate } = ofClass;
  const grown = (1 - linear) * logRate.median + (linear * ohmRate.median) / USUAL_OHMS;
  return { mean: (1 - notGrowing) * grown, sd: Math.max(LEAST_SPREAD, grown / 2) };
}

/** One connector of the diagnosis, with all that the season says about it. */
function caseOf(
  pool: Pool,
  walk: WalkDiagnosis,
  trend: PoolTrend | null,
  costs: Costs,
  finding: ConnectorFinding,
): ConnectorCase {
  const season = seasonOf(trend, finding);
  const circuit = circuitOf(pool, finding.worst);
  const body = connectorOf(pool, finding);
  if (circuit === undefined || body === undefined) {
    throw new Error(`no connector ${finding.connector} at ${finding.point} in this pool`);
  }
  const path = pathAround(pool, circuit);
  const takes = takenBy(pool, walk, finding);
  const own: ConnectorCosts = costs.connectors[finding.point] ?? connectorDefaults[body.sharing];
  const { connector, point, lane, device, end, lanes, sharing } = finding;
  return {
    place: { connector, point, lane, device, end, lanes, sharing },
    atFault: finding.atFault,
    state: contactState(finding.worst, pool.contact),
    growth: season.contact === undefined ? UNSEEN.growth : spreadOf(season.contact.growth),
    likeGrowth: likeGrowth(season),
    floorOhms: season.contact?.floor.nextFloor.median ?? pool.contact.sound.medianOhms,
    creepPerYear: Math.max(0, season.contact?.floor.creep.median ?? 0),
    newOhms: pool.contact.sound.medianOhms,
    cure: cureOf(season.record),
    likeCure: cureOf(season.classRecord),
    ...lowness(pool, path, costs),
    scatterLogSd: Math.max(LEAST_SCATTER, season.ofClass?.scatter ?? UNSEEN.scatter),
    lanes: lanesLost(pool, costs, takes),
    takes,
    path,
    costs: own,
    ageYears: ageOf(season.contact, trend, own.ageYears),
    weeksHeld: heldOf(season.record?.cleanings ?? []),
    stillLowAfterCleaning: stillLow(season.contact),
    workSince: workSince(walk, trend, finding),
  };
}

/**
 * Every connector of one walk, in the order of its ranking, ready to be decided on. Without a
 * season (`trend` null) growth and film are as assumed before any was seen.
 */
export function connectorCases(
  pool: Pool,
  walk: WalkDiagnosis,
  trend: PoolTrend | null,
  costs: Costs = costsOf(pool),
): readonly ConnectorCase[] {
  return walk.connectors.map((finding) => caseOf(pool, walk, trend, costs, finding));
}
