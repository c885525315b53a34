import { type Costs, connectorDefaults } from "../domain/costs.ts";
import type { ConnectorFinding, ContactFinding, WalkDiagnosis } from "../domain/findings.ts";
import { meetDefaults } from "../domain/meet.ts";
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
import { timerSays } from "./path-around.ts";
import { typicalTrouble } from "./typical-failure.ts";
import { WEEKS_PER_YEAR } from "./week-grid.ts";

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
function lossPrices({ pool, costs }: DecideInput): LossPrices {
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

interface Believed {
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

/** Decides on every connector; those worse off first, so that work on one relieves its paths. */
export function decideWalk(
  input: DecideInput,
  wanted: (finding: ConnectorFinding) => boolean = () => true,
  progress: (done: number, of: number) => void = () => {},
): readonly WalkDecision[] {
  const { pool, walk, trend, costs } = input;
  const kinds = kindsOf(pool, costs, trend);
  const { shelf, failureCosts, loss } = pricedShelf(input, kinds);
  const beliefs = beliefsOf(input, kinds);
  const seconds = (pool.meet ?? meetDefaults).seconds;
  const over = new Map([...beliefs].map(([key, each]) => [key, overSound(pool, each)]));
  const chances = new Map(
    [...beliefs].map(([key, { belief, law }]) => [key, failsNow(belief, law, loss)]),
  );
  const findings = walk.connectors.filter(wanted);
  const order = findings.toSorted((a, b) => b.voltsLost - a.voltsLost);
  const decided = order.map((finding, done): WalkDecision => {
    progress(done, order.length);
    const place = connectorOf(pool, finding);
    if (place === undefined) throw new Error(`no connector ${finding.connector} in this pool`);
    const circuits = pool.circuits.filter(
      (circuit) =>
        isPassedBy(finding, circuit) && beliefs.has(contactKey(circuitKey(circuit), finding.point)),
    );
    const believed = circuits.map(
      (circuit) => beliefs.get(contactKey(circuitKey(circuit), finding.point))!,
    );
    const own = costs.connectors[finding.point] ?? connectorDefaults[place.sharing];
    const connector: ConnectorToDecide = {
      kind: { ...kinds[place.index]!, contacts: circuits.length },
      ageWeeks: ageOf(believed[0]!.season, trend, own.ageYears) * WEEKS_PER_YEAR,
      stage: "first",
      contacts: circuits.map((circuit, k) => {
        const excess = circuit.path.reduce(
          (sum, { point }) =>
            sum +
            (point === finding.point ? 0 : (over.get(contactKey(circuitKey(circuit), point)) ?? 0)),
          0,
        );
        return contactView(pool, costs, circuit, believed[k]!.belief, excess, seconds);
      }),
    };
    const weighed = weighConnector(
      connector,
      laidOut(connector, shelf, {
        now: costsNow(input, failureCosts, chances),
        later: failureCosts,
      }),
    );
    if (weighed.action === "clean" || weighed.action === "replace")
      for (const circuit of circuits)
        for (const relieved of [over, chances])
          relieved.set(contactKey(circuitKey(circuit), finding.point), 0);
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

const DAYS_PER_YEAR = 365.25;

/** Years since the log's last replacement before the last walk, else as the pool file has it. */
function ageOf({ contact }: ContactSeason, trend: PoolTrend | null, years: number): number {
  const today = trend?.walks.at(-1)?.day;
  if (today === undefined) return years;
  const fitted = contact?.segments.findLast(
    ({ begunBy, begun }) => begunBy === "replaced" && begun <= today,
  );
  return fitted === undefined ? years : (today - fitted.begun) / DAYS_PER_YEAR;
}
