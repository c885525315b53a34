import { DAYS_PER_YEAR, WEEKS_PER_YEAR } from "../domain/calendar.ts";
import type { Circuit } from "../domain/circuit.ts";
import { type Costs, connectorCosts } from "../domain/costs.ts";
import type { ConnectorFinding, ContactFinding, WalkDiagnosis } from "../domain/findings.ts";
import { meetSettings } from "../domain/meet.ts";
import { circuitKey, circuitOf, connectorOf, isPassedBy } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { PoolTrend } from "../history/trend.ts";
import { kindsOf } from "./connector-law.ts";
import type { ContactBelief } from "./contact-belief.ts";
import type { ContactLaw } from "./contact-law.ts";
import { beliefOf, type ContactSeason, contactView, seasonOf } from "./contact-view.ts";
import type { ConnectorKind, ConnectorToDecide, LossPrices, PolicyShelf } from "./decide-pool.ts";
import { pricedShelf } from "./failure-prices.ts";
import type { CircuitCosts } from "./lane-roles.ts";

/** What everything of one pool is decided by. */
export interface DecideInput {
  readonly pool: Pool;
  readonly walk: WalkDiagnosis;
  readonly trend: PoolTrend | null;
  readonly costs: Costs;
}

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

/** One contact by its circuit and point. */
export const contactKey = (circuit: string, point: string): string => `${circuit} ${point}`;

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
export type Excess = (circuit: Circuit, point: string) => number;

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

/** Years since the log's last replacement before the last walk, else as the pool file has it. */
function ageOf({ contact }: ContactSeason, trend: PoolTrend | null, years: number): number {
  const today = trend?.walks.at(-1)?.day;
  if (today === undefined) return years;
  const fitted = contact?.segments.findLast(
    ({ begunBy, begun }) => begunBy === "replaced" && begun <= today,
  );
  return fitted === undefined ? years : (today - fitted.begun) / DAYS_PER_YEAR;
}
