import type { Costs } from "../domain/costs.ts";
import { isStep } from "../domain/courses.ts";
import { type ConnectorFinding, type ContactFinding, mayBeBroken } from "../domain/findings.ts";
import { circuitKey, circuitOf } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { normalCdf } from "../numerics/normal.ts";
import type { ContactBelief } from "./contact-belief.ts";
import type { ContactLaw } from "./contact-law.ts";
import type { ContactSeason } from "./contact-view.ts";
import {
  type ConnectorKind,
  type ConnectorToDecide,
  type LossPrices,
  laidOut,
  type WeighedConnector,
  weighConnector,
} from "./decide-pool.ts";
import {
  type Believed,
  contactKey,
  type DecideInput,
  type Desk,
  type Excess,
  layConnector,
  openDesk,
} from "./desk.ts";
import { type CircuitCosts, failureCostsOf } from "./lane-roles.ts";
import type { Look } from "./look.ts";
import { lookPrice } from "./work-prices.ts";

/** What is decided on one connector of a walk. */
export interface WalkDecision {
  readonly finding: ConnectorFinding;
  readonly kind: ConnectorKind;
  readonly connector: ConnectorToDecide;
  readonly weighed: WeighedConnector;
  /** The finding and the season of the contact that speaks loudest for work. */
  readonly worst: ContactFinding;
  readonly season: ContactSeason;
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

/** What one contact has over a sound one, of what conducts [Ω]. */
function overSound(pool: Pool, { finding }: Believed): number {
  const median = finding.ohms.median;
  return Number.isFinite(median) ? Math.max(0, median - pool.contact.sound.medianOhms) : 0;
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
