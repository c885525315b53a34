import { courses } from "../../../src/domain/courses.ts";
import { normalNodes } from "../../../src/numerics/weighted-nodes.ts";
import { type ClassPolicy, classPolicy } from "../../../src/policy/class-policy.ts";
import type { BeliefPoint, ContactBelief } from "../../../src/policy/contact-belief.ts";
import type { ContactLaw, GrowthMode, StepPrices } from "../../../src/policy/contact-law.ts";
import { cheapest, heldConnector, stepCosts } from "../../../src/policy/held-connector.ts";
import type { GridFilter } from "./grid-filter.ts";
import { cleanPrice, contactLimit, deck, type Law, type Point, replacePrice } from "./law.ts";
import { type Decide, filterPlayer, type Player } from "./players.ts";

/** The study's law in the program's terms: what the policy would be given if all were known. */
export function contactLaw(law: Law): ContactLaw {
  const rates = normalNodes(Math.log(law.rate.median), law.rate.logSd, 3);
  const modes: GrowthMode[] = [
    { kind: "flat", rate: 0, weight: law.notGrowing },
    ...rates.map(({ value, weight }) => ({
      kind: law.growth,
      rate: Math.exp(value),
      weight: weight * (1 - law.notGrowing),
    })),
  ];
  return {
    modes,
    oxide: law.oxide,
    cure: law.cure,
    mendable: law.mend,
    floor: normalNodes(Math.log(law.floor.median), law.floor.logSd, 3),
    fouled: normalNodes(Math.log(law.fouled.median), law.fouled.logSd, 3),
    rates: { fouled: law.fouls, open: law.opens, intermittent: law.loosens, mends: 0 },
    steps: {
      perWeek: law.storms.perWeek * law.storms.touches,
      rises: [0.2, 0.7, 1.6].map((value, k) => ({
        value: value * law.storms.rise,
        weight: [0.4, 0.35, 0.25][k]!,
      })),
    },
    limit: { logOhms: Math.log(contactLimit - 0.3), scatter: law.scatter },
    life: { shape: 1, scale: 1 / law.breaks },
  };
}

export const stepPrices = (point: Point): StepPrices => ({
  clean: cleanPrice(point),
  replace: replacePrice(point),
  lowWeek: deck.meetsPerWeek * deck.lostLane * deck.lossChance,
  openWeek: deck.meetsPerWeek * deck.lostLane,
  intermittentWeek: deck.meetsPerWeek * deck.lostLane * deck.looseLoss,
});

/** The filter's table as the program's points: film and oxide of one growth and level together. */
function beliefOf(filter: GridFilter): ContactBelief {
  const names = {
    conducts: "conducts",
    open: "open",
    broken: "open-for-good",
    loose: "intermittent",
  } as const;
  const points = new Map<string, { point: BeliefPoint; oxide: number }>();
  for (const { nature, ohms, state, weight } of filter.states()) {
    const growth = {
      kind: nature.growth === "none" ? "flat" : nature.growth,
      rate: nature.rate,
    } as const;
    const key = `${state} ${nature.rate} ${ohms}`;
    const known = points.get(key);
    const level = Math.log(ohms);
    const whole = weight + (known?.point.weight ?? 0);
    points.set(key, {
      point: { state: names[state], growth, level, weight: whole, oxide: 0 },
      oxide: (known?.oxide ?? 0) + (nature.oxide ? weight : 0),
    });
  }
  return [...points.values()].map(({ point, oxide }) => ({
    ...point,
    oxide: oxide / point.weight,
  }));
}

/** The program's policy over the filter's belief: what its grids and averages lose by themselves. */
export function policyOverFilter(law: Law, lanes: number): Player {
  const own = contactLaw(law);
  const policies = deck.points.map(
    (point): ClassPolicy =>
      classPolicy(own, stepPrices(point), 1, 1, { discountRate: deck.discountRate, years: 10 }),
  );
  const decide: Decide = (filter, k, stage, excess) => {
    const belief = beliefOf(filter);
    const prices = stepPrices(deck.points[k]!);
    const held = heldConnector(
      [{ policy: policies[k]!, cured: policies[k]!, belief, excess }],
      0,
      prices,
      stage === 0 ? "first" : "second",
    );
    // The study's deck knows what a plan is followed by.
    return courses[cheapest(stepCosts(held))].first;
  };
  return filterPlayer("policy over the filter's belief", law, lanes, decide);
}
