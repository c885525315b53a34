import { assumedAgeing } from "../domain/assumed-ageing.ts";
import type { Step } from "../domain/courses.ts";
import type { Stage } from "./class-policy.ts";
import type { BeliefPoint, ContactBelief } from "./contact-belief.ts";
import type { ContactLaw } from "./contact-law.ts";
import {
  cheapest,
  focusedOn,
  type HeldConnector,
  stepCosts,
  withBelief,
} from "./held-connector.ts";

/**
 * A look for a break: the connector is pulled, its pins and wires are seen to, it is pushed home and
 * read. It mends what pulling and pushing home mends, `m = 1 - stays_reseated` of what is open or comes
 * and goes, and in it all that a cleaning would have mended, `c` of it; so it mends of what no cleaning
 * can
 *
 *     (m - c) / (1 - c)
 *
 * and what it leaves, only a new part puts right. Its outcome is read, so what follows is chosen
 * knowing it: cost = price + P(mended) min(steps | mended) + P(not) min(steps | not mended).
 *
 * That it comes first is a rule of the trade, kept by every command (`mayBeBroken`): a pulled-out wire
 * costs minutes to mend, and no price of lost lanes is known so well that a dead path should be left
 * unseen. Its cost is said beside the others'. The chain of later walks knows cleaning and replacing
 * alone, so a break to come is reckoned a little dearer than it is.
 */
export interface Look {
  /** Index of the contact that is likeliest broken. */
  readonly contact: number;
  /** [currency] */
  readonly price: number;
}

/** What a look costs and leads to. */
export interface LookFollowed {
  /** Of it and all that follows [currency]. */
  readonly cost: number;
  /** The step that costs least where it has mended nothing. */
  readonly inVain: Step;
  /** The connector where it has mended nothing. */
  readonly left: HeldConnector;
}

/** A belief after a look: what it comes to either way, each adding to 1. */
interface Looked {
  /** P(it mends). */
  readonly chance: number;
  readonly mended: ContactBelief;
  readonly left: ContactBelief;
}

/** P(a look mends a contact in this state). */
function mends(state: BeliefPoint["state"], { mendable }: ContactLaw): number {
  const all = 1 - assumedAgeing.staysReseated.value;
  switch (state) {
    case "conducts":
      return 0;
    case "open":
    case "intermittent":
      return Math.min(1, all / mendable);
    default:
      return Math.max(0, (all - mendable) / (1 - mendable));
  }
}

/** A belief's mended part, at the floor, and the rest: weights as they come. */
function parted(belief: ContactBelief, law: ContactLaw) {
  const mended: BeliefPoint[] = [];
  const left: BeliefPoint[] = [];
  for (const point of belief) {
    const share = mends(point.state, law);
    for (const { value, weight } of share > 0 ? law.floor : [])
      mended.push({
        weight: point.weight * share * weight,
        ...{ state: "conducts", oxide: law.oxide, growth: point.growth, level: value },
      });
    if (share < 1) left.push({ ...point, weight: point.weight * (1 - share) });
  }
  return { mended, left };
}

/** What is believed after a look, whether it mended or not. */
export function afterLook(belief: ContactBelief, law: ContactLaw): ContactBelief {
  const { mended, left } = parted(belief, law);
  return [...mended, ...left];
}

function looked(belief: ContactBelief, law: ContactLaw): Looked {
  const { mended, left } = parted(belief, law);
  const chance = mended.reduce((sum, { weight }) => sum + weight, 0);
  const scaled = (points: readonly BeliefPoint[], whole: number): ContactBelief =>
    points.map((point) => ({ ...point, weight: point.weight / whole }));
  return {
    chance,
    mended: chance > 0 ? scaled(mended, chance) : belief,
    left: chance < 1 ? scaled(left, 1 - chance) : belief,
  };
}

/** Weighs a look at one contact of a connector, the others as they are believed to be. */
export function lookFollowed(
  held: HeldConnector,
  { kind, ageWeeks, stage }: { kind: { law: ContactLaw }; ageWeeks: number; stage: Stage },
  { contact, price }: Look,
): LookFollowed {
  const focused = focusedOn(held, contact);
  const { chance, mended, left } = looked(held.contacts[contact]!.belief, kind.law);
  const after = (belief: ContactBelief): HeldConnector =>
    withBelief(focused, belief, ageWeeks, stage);
  const least = (of: HeldConnector): number => Math.min(...Object.values(stepCosts(of)));
  const unmended = after(left);
  return {
    cost: price + chance * least(after(mended)) + (1 - chance) * least(unmended),
    inVain: cheapest(stepCosts(unmended)),
    left: unmended,
  };
}
