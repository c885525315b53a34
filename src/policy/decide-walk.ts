import { DAYS_PER_YEAR, WEEKS_PER_YEAR } from "../domain/calendar.ts";
import type { Circuit } from "../domain/circuit.ts";
import { type Costs, connectorCosts } from "../domain/costs.ts";
import { isStep } from "../domain/courses.ts";
import {
  type ConnectorFinding,
  type ContactFinding,
  mayBeBroken,
  type WalkDiagnosis,
} from "../domain/findings.ts";
import { meetSettings } from "../domain/meet.ts";
import { circuitKey, circuitOf, connectorOf, isPassedBy } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { PoolTrend } from "../history/trend.ts";
import { normalCdf } from "../numerics/normal.ts";
import { kindsOf } from "./connector-law.ts";
import type { ContactBelief } from "./contact-belief.ts";
import type { ContactLaw } from "./contact-law.ts";
import { beliefOf, type ContactSeason, contactView, seasonOf } from "./contact-view.ts";
import {
  type ConnectorKind,
  type ConnectorToDecide,
  type LossPrices,
  laidOut,
  PolicyShelf,
  type WeighedConnector,
  weighConnector,
} from "./decide-pool.ts";
import { type CircuitCosts, failureCostsOf, shareInUse } from "./lane-roles.ts";
import type { Look } from "./look.ts";
import { timerSays } from "./path-around.ts";
import { typicalTrouble } from "./typical-failure.ts";
import { lookPrice } from "./work-prices.ts";

/**
 * Decides on every connector of a walk, in the order of its ranking.
 *
 * Lanes couple connectors: what a device's failure costs depends on how often the others of its lane
 * fail, and that on how their connectors are kept. So prices come from the policy itself: first the
 * devices fail by themselves only, then as often as contacts kept at those prices let them, twice.
 */
export interface WalkDecision {
  readonly finding: ConnectorFinding;
  readonly kind: ConnectorKind;
  readonly connector: ConnectorToDecide;
  readonly weighed: WeighedConnector;
  /** The finding and the season of the contact that speaks loudest for work. */
  readonly worst: ContactFinding;
  readonly season: ContactSeason;
}

/** What everything of one pool is decided by. */
export interface DecideInput {
  readonly pool: Pool;
  readonly walk: WalkDiagnosis;
  readonly trend: PoolTrend | null;
  readonly costs: Costs;
}

/** A meet shows a contact that comes and goes about as often as a reading does. */
export function lossPrices({ pool, costs }: Pick<DecideInput, "pool" | "costs">): LossPrices {
  const sure = pool.circuits.some((circuit) => timerSays(pool, circuit));
  const lossChance = sure ? 1 : costs.lossChance.value;
  return {
    lostLaneWeek:
      (costs.meetsPerSeason.value / WEEKS_PER_YEAR) *
      costs.lostLane.value *
      shareInUse(pool, costs),
    lossChance,
    intermittentLoss: Math.max(lossChance, pool.model.badShare),
  };
}

/** Rounds of pricing devices by how the others of their lane are kept. */
const ROUNDS = 2;

/** The shelf of policies, and what each circuit's failure costs. */
export function pricedShelf(
  input: DecideInput,
  kinds: readonly ConnectorKind[],
): {
  readonly shelf: PolicyShelf;
  readonly failureCosts: CircuitCosts;
  readonly loss: LossPrices;
} {
  const { pool, costs } = input;
  const loss = lossPrices(input);
  const horizon = { discountRate: costs.discountRate.value, years: costs.horizonYears.value };
  const shelf = new PolicyShelf(costs.checkWeeks, horizon, loss);
  const own = costs.ownFailure.value;
  const fallback = costs.fallbackCost.value;
  let failureCosts = failureCostsOf(pool, fallback, () => own);
  for (let round = 0; round < ROUNDS; round++) {
    const before = failureCosts;
    failureCosts = failureCostsOf(pool, fallback, (name) => {
      const circuit = circuitOf(pool, name)!;
      let works = 1 - own;
      for (const { connector } of circuit.path) {
        const kind = kinds[connector.index]!;
        const policy = shelf.typicalOf(kind, before(circuitKey(circuit)));
        const { low, open, intermittent } = typicalOnce(policy);
        works *= 1 - (low * loss.lossChance + open + intermittent * loss.intermittentLoss);
      }
      return 1 - works;
    });
  }
  return { shelf, failureCosts, loss };
}

const typical = new WeakMap<object, ReturnType<typeof typicalTrouble>>();
function typicalOnce(solved: Parameters<typeof typicalTrouble>[0]) {
  const known = typical.get(solved) ?? typicalTrouble(solved);
  typical.set(solved, known);
  return known;
}

/** Failing now is dearer than usual from this on: other devices of the lane fail as well. */
const DEARER = 1.25;

/**
 * What a failure costs now, others of the lane failing as they do now; where that is not much more
 * than usual, as usual. `chances`: P(each contact by itself makes its device fail in a meet).
 */
function costsNow(
  { pool, costs }: DecideInput,
  usual: CircuitCosts,
  chances: ReadonlyMap<string, number>,
): CircuitCosts {
  const own = costs.ownFailure.value;
  const now = failureCostsOf(
    pool,
    costs.fallbackCost.value,
    (name) => {
      const key = circuitKey(name);
      const worst = circuitOf(pool, name)!.path.reduce(
        (most, { point }) => Math.max(most, chances.get(contactKey(key, point)) ?? 0),
        0,
      );
      return 1 - (1 - own) * (1 - worst);
    },
    true,
  );
  return (circuit) => {
    const [dear, cheap] = [now(circuit), usual(circuit)];
    return dear > DEARER * cheap ? dear : cheap;
  };
}

/** P(a contact by itself makes its device fail in a meet). */
const failsNow = (belief: ContactBelief, { limit }: ContactLaw, loss: LossPrices): number =>
  belief.reduce((sum, { state, level, weight }) => {
    if (state === "open" || state === "open-for-good") return sum + weight;
    if (state !== "conducts") return sum + weight * loss.intermittentLoss;
    const low = normalCdf((level - limit.logOhms) / limit.scatter);
    return sum + weight * low * loss.lossChance;
  }, 0);

/** What is believed of one contact. */
export interface Believed {
  readonly finding: ContactFinding;
  readonly season: ContactSeason;
  readonly belief: ContactBelief;
  readonly law: ContactLaw;
}

/** Every contact's belief, by circuit and point. */
function beliefsOf(
  { pool, walk, trend }: DecideInput,
  kinds: readonly ConnectorKind[],
): ReadonlyMap<string, Believed> {
  return new Map(
    walk.contacts.flatMap((finding) => {
      const circuit = circuitOf(pool, finding);
      const step = circuit?.path.find(({ point }) => point === finding.point);
      if (circuit === undefined || step === undefined) return [];
      const { law } = kinds[step.connector.index]!;
      const season = seasonOf(trend, finding, law);
      const belief = beliefOf(pool, finding, season, law);
      return [[contactKey(circuitKey(circuit), finding.point), { finding, season, belief, law }]];
    }),
  );
}

const contactKey = (circuit: string, point: string): string => `${circuit} ${point}`;

/** What one contact has over a sound one, of what conducts [Ω]. */
function overSound(pool: Pool, { finding }: Believed): number {
  const median = finding.ohms.median;
  return Number.isFinite(median) ? Math.max(0, median - pool.contact.sound.medianOhms) : 0;
}

/** A walk's contacts and prices laid out once, for whatever is decided on. */
export interface Desk {
  readonly input: DecideInput;
  readonly kinds: readonly ConnectorKind[];
  readonly shelf: PolicyShelf;
  readonly failureCosts: CircuitCosts;
  readonly loss: LossPrices;
  readonly beliefs: ReadonlyMap<string, Believed>;
}

/** The last desk of each walk: decisions and a memo are made at the same. */
const desks = new WeakMap<WalkDiagnosis, { readonly desk: Desk; readonly prices: string }>();

/** Lays out a walk. */
export function openDesk(input: DecideInput): Desk {
  const { pool, walk, trend, costs } = input;
  const prices = JSON.stringify({ ...costs, currency: "" });
  const last = desks.get(walk);
  if (last?.prices === prices && last.desk.input.pool === pool && last.desk.input.trend === trend)
    return { ...last.desk, input };
  const kinds = kindsOf(pool, costs, trend);
  const beliefs = beliefsOf(input, kinds);
  const desk = { input, kinds, ...pricedShelf(input, kinds), beliefs };
  desks.set(walk, { desk, prices });
  return desk;
}

/** What the other contacts of a path have over sound ones, by circuit and point [Ω]. */
type Excess = (circuit: Circuit, point: string) => number;

/** One connector ready to be decided on, and what is believed of its contacts. */
export function layConnector(
  { input: { pool, costs, trend }, kinds, beliefs }: Desk,
  finding: ConnectorFinding,
  excess: Excess = () => 0,
): { readonly connector: ConnectorToDecide; readonly believed: readonly Believed[] } {
  const place = connectorOf(pool, finding);
  if (place === undefined) throw new Error(`no connector ${finding.connector} in this pool`);
  const { seconds } = meetSettings(pool);
  const held = (circuit: Circuit): Believed | undefined =>
    beliefs.get(contactKey(circuitKey(circuit), finding.point));
  const circuits = pool.circuits.filter(
    (circuit) => isPassedBy(finding, circuit) && held(circuit) !== undefined,
  );
  const believed = circuits.map((circuit) => held(circuit)!);
  const own = connectorCosts(costs, finding);
  const connector: ConnectorToDecide = {
    kind: { ...kinds[place.index]!, contacts: circuits.length },
    ageWeeks: ageOf(believed[0]!.season, trend, own.ageYears) * WEEKS_PER_YEAR,
    stage: "first",
    contacts: circuits.map((circuit, k) =>
      contactView(
        pool,
        costs,
        circuit,
        believed[k]!.belief,
        excess(circuit, finding.point),
        seconds,
      ),
    ),
  };
  return { connector, believed };
}

/** Decides on every connector that is wanted, in the order of the walk's ranking. */
export const decideWalk = (
  input: DecideInput,
  wanted: (finding: ConnectorFinding) => boolean = () => true,
  progress: (done: number, of: number) => void = () => {},
): readonly WalkDecision[] => decideAt(openDesk(input), wanted, progress);

/** The same at a desk; those worse off first, so that work on one relieves its paths. */
export function decideAt(
  desk: Desk,
  wanted: (finding: ConnectorFinding) => boolean,
  progress: (done: number, of: number) => void = () => {},
): readonly WalkDecision[] {
  const { input, shelf, failureCosts, loss, beliefs } = desk;
  const { pool, walk } = input;
  const over = new Map([...beliefs].map(([key, each]) => [key, overSound(pool, each)]));
  const chances = new Map(
    [...beliefs].map(([key, { belief, law }]) => [key, failsNow(belief, law, loss)]),
  );
  const excess: Excess = (circuit, point) =>
    circuit.path.reduce(
      (sum, other) =>
        other.point === point
          ? sum
          : sum + (over.get(contactKey(circuitKey(circuit), other.point)) ?? 0),
      0,
    );
  const findings = walk.connectors.filter(wanted);
  const order = findings.toSorted((a, b) => b.voltsLost - a.voltsLost);
  const decided = order.map((finding, done): WalkDecision => {
    progress(done, order.length);
    const { connector, believed } = layConnector(desk, finding, excess);
    const now = costsNow(input, failureCosts, chances);
    const weighed = weighConnector(
      connector,
      laidOut(connector, shelf, { now, later: failureCosts }),
      lookAt(input.costs, finding, connector),
      usually(desk, finding),
    );
    const step = weighed.look?.inVain ?? weighed.action;
    if (isStep(step) && step !== "wait")
      for (const { circuit } of connector.contacts)
        for (const relieved of [over, chances]) relieved.set(contactKey(circuit, finding.point), 0);
    const worst = believed[weighed.worst]!;
    return {
      finding,
      kind: connector.kind,
      connector,
      weighed,
      worst: worst.finding,
      season: worst.season,
    };
  });
  return findings.map((finding) => decided.find((each) => each.finding === finding)!);
}

/** A connector as it is kept at all walks to come, the rest of its lanes being as they usually are. */
function usually(desk: Desk, finding: ConnectorFinding) {
  const { connector } = layConnector(desk, finding);
  const prices = { now: desk.failureCosts, later: desk.failureCosts };
  return { connector, held: laidOut(connector, desk.shelf, prices) };
}

/** The look that a connector needs first; null: it needs none. */
function lookAt(
  costs: Costs,
  { worst }: ConnectorFinding,
  { contacts }: ConnectorToDecide,
): Look | null {
  if (!mayBeBroken(worst)) return null;
  const key = circuitKey(worst);
  const contact = contacts.findIndex(({ circuit }) => circuit === key);
  return contact < 0 ? null : { contact, price: lookPrice(costs) };
}

/** Years since the log's last replacement before the last walk, else as the pool file has it. */
function ageOf({ contact }: ContactSeason, trend: PoolTrend | null, years: number): number {
  const today = trend?.walks.at(-1)?.day;
  if (today === undefined) return years;
  const fitted = contact?.segments.findLast(
    ({ begunBy, begun }) => begunBy === "replaced" && begun <= today,
  );
  return fitted === undefined ? years : (today - fitted.begun) / DAYS_PER_YEAR;
}
