import type { AgeingLaw, LogNormalRate } from "../ageing/ageing-law.ts";
import { perWeek } from "../ageing/per-week.ts";
import { assumedAgeing, assumedSpreads } from "../domain/assumed-ageing.ts";
import { WEEKS_PER_YEAR } from "../domain/calendar.ts";
import { type Connector, priorFouled } from "../domain/circuit.ts";
import { type Costs, connectorCosts } from "../domain/costs.ts";
import type { Pool } from "../domain/pool.ts";
import { filmShare } from "../history/cleaning-record.ts";
import type { PoolTrend } from "../history/trend.ts";
import { normalNodes } from "../numerics/weighted-nodes.ts";
import type { ContactLaw, GrowthMode } from "./contact-law.ts";
import type { ConnectorKind } from "./decide-pool.ts";
import { pathAround, pathLimit } from "./path-around.ts";
import { workPrices } from "./work-prices.ts";

/**
 * The law of a connector's contacts: what the season has shown of its class, and what is assumed
 * where it has shown nothing.
 */

/** Growth of one contact of a class that nobody has seen: the class's usual growth is unknown too. */
const unseenRate = (median: number, logSd: number): LogNormalRate => ({
  median,
  logSd: Math.hypot(
    logSd,
    ...assumedSpreads.map((each) => each / Math.sqrt(assumedSpreads.length)),
  ),
});

/** Growth where no season was seen, by shares alone: which law holds takes walks to tell. */
const UNSEEN: AgeingLaw = {
  notGrowing: assumedAgeing.notGrowing.value,
  linear: 0,
  logRate: unseenRate(assumedAgeing.shareRate.value, assumedAgeing.shareRateLogSd.value),
  ohmRate: unseenRate(assumedAgeing.ohmRate.value, assumedAgeing.ohmRateLogSd.value),
  scatter: assumedAgeing.scatter.value,
  steps: { perWeek: 0, touched: assumedAgeing.touched.value, rise: assumedAgeing.rise.value },
};
/** A kind of growth less likely than this is left out. */
const LEAST_SHARE = 0.05;
/** Scatter from meet to meet is never taken to be less: a plug is shaken, a drop of water falls. */
const LEAST_SCATTER = 0.1;

/** What the walks say of the class of a point; else what is assumed. */
const ageingOf = (trend: PoolTrend | null, { point, class: kind }: Connector): AgeingLaw =>
  trend?.classes.find((each) => each.point === point && each.class === kind) ?? UNSEEN;

/** Growths of a new contact: none, by a share and by ohms. */
export function growthModes(law: AgeingLaw): readonly GrowthMode[] {
  const linear = law.linear < LEAST_SHARE ? 0 : law.linear > 1 - LEAST_SHARE ? 1 : law.linear;
  const of = (
    kind: "log" | "ohm",
    share: number,
    { median, logSd }: LogNormalRate,
  ): GrowthMode[] =>
    share === 0
      ? []
      : normalNodes(Math.log(median), logSd, 3).map(({ value, weight }) => ({
          kind,
          rate: Math.exp(value),
          weight: weight * share * (1 - law.notGrowing),
        }));
  return [
    { kind: "flat", rate: 0, weight: law.notGrowing },
    ...of("log", 1 - linear, law.logRate),
    ...of("ohm", linear, law.ohmRate),
  ];
}

/** Storms as they touch one contact; an exponential rise by three nodes (Gauss and Laguerre). */
const stormsOf = ({ steps: { perWeek, touched, rise } }: AgeingLaw): ContactLaw["steps"] => ({
  perWeek: perWeek * touched,
  rises: [
    { value: 0.415775 * rise, weight: 0.711093 },
    { value: 2.29428 * rise, weight: 0.278518 },
    { value: 6.289945 * rise, weight: 0.010389 },
  ],
});

/** The law of one connector's contacts. */
function lawOf(
  pool: Pool,
  costs: Costs,
  trend: PoolTrend | null,
  connector: Connector,
): ContactLaw {
  const { priors, point, circuits } = connector;
  const { sound, fouled } = pool.contact;
  const own = connectorCosts(costs, connector);
  const record = trend?.cleanings.classes.find((each) => each.point === point);
  const film = record === undefined ? assumedAgeing.film.value : filmShare(record);
  const dirty = priorFouled(priors);
  const circuit = pool.circuits[circuits[0]!]!;
  const ageing = ageingOf(trend, connector);
  const least = 2 * sound.medianOhms;
  return {
    modes: growthModes(ageing),
    oxide: 1 - film,
    cure: assumedAgeing.cure.value,
    mendable: 1 - assumedAgeing.staysCleaned.value,
    floor: normalNodes(Math.log(sound.medianOhms), sound.logSd, 3),
    fouled: normalNodes(Math.log(fouled[0]!.medianOhms), fouled[0]!.logSd, 3),
    rates: {
      fouled: perWeek(dirty),
      open: perWeek(pool.model.openPerFouled * dirty + priors.cableBreak),
      intermittent: perWeek(priors.intermittent),
      mends: assumedAgeing.heals.value,
    },
    steps: stormsOf(ageing),
    limit: {
      logOhms: Math.log(
        Math.max(least, pathLimit(pool, circuit) - pathAround(pool, circuit).restOhms),
      ),
      scatter: Math.max(LEAST_SCATTER, ageing.scatter),
    },
    life: { shape: own.lifeShape, scale: own.lifeYears * WEEKS_PER_YEAR },
  };
}

/** Kinds of one pool, by index of the connector: what everything of a walk is decided by. */
export const kindsOf = (
  pool: Pool,
  costs: Costs,
  trend: PoolTrend | null,
): readonly ConnectorKind[] => {
  const known = new Map<string, ConnectorKind>();
  return pool.connectors.map((connector) => {
    const kind = kindOf(pool, costs, trend, connector);
    const { name, law } = known.get(kind.name) ?? { ...kind, name: `kind ${known.size + 1}` };
    known.set(kind.name, { ...kind, name, law });
    // One law of all that are alike: what is laid out for it is laid out once.
    return { ...kind, name, law };
  });
};

/** What a connector's policy depends on, by place; connectors alike share it. */
function kindOf(
  pool: Pool,
  costs: Costs,
  trend: PoolTrend | null,
  connector: Connector,
): ConnectorKind {
  const own = connectorCosts(costs, connector);
  const law = lawOf(pool, costs, trend, connector);
  return {
    name: JSON.stringify([law, own]),
    law,
    contacts: connector.circuits.length,
    prices: workPrices(costs, own),
  };
}
