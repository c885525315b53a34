import { byStep, type Step, steps } from "../domain/courses.ts";
import type { Stage } from "./class-policy.ts";
import type { ContactBelief } from "./contact-belief.ts";
import { type HeldContact, type PointCosts, pointCosts } from "./contact-costs.ts";
import type { StepPrices } from "./contact-law.ts";
import { drivenGain, waitingCost } from "./shared-price.ts";

/** Expected cost from now on of each step [currency]. */
export type StepCosts = Readonly<Record<Step, number>>;

/** A connector ready to be decided on. */
export interface HeldConnector {
  readonly contacts: readonly HeldContact[];
  readonly costs: readonly PointCosts[];
  /** Of one cleaning and one replacement [currency]. */
  readonly prices: Readonly<Record<Step, number>>;
}

/** Lays a connector out. `ageWeeks`: of its body. */
export function heldConnector(
  contacts: readonly HeldContact[],
  ageWeeks: number,
  prices: Pick<StepPrices, "clean" | "replace">,
  stage: Stage = "first",
): HeldConnector {
  return {
    contacts,
    costs: contacts.map((contact) => pointCosts(contact, ageWeeks, stage)),
    prices: { wait: 0, clean: prices.clean, replace: prices.replace },
  };
}

/** The weights of a belief's points. */
export const weightsOf = (belief: ContactBelief): Float64Array =>
  Float64Array.from(belief, ({ weight }) => weight);

/** Averages of one contact's costs over weights of its points: `[share]`. */
const averaged = (costs: readonly Float64Array[], weights: Float64Array): number[] =>
  costs.map((byPoint) => {
    let sum = 0;
    for (let k = 0; k < weights.length; k++) sum += weights[k]! * byPoint[k]!;
    return sum;
  });

/**
 * What each step costs a connector from now on: the true states' values averaged over the belief
 * (as if everything were seen after this step: Littman, Cassandra and Kaelbling 1995, from memory).
 *
 * @param weights of each contact's points, where they are not the belief's own
 */
export function stepCosts(
  { contacts, costs, prices }: HeldConnector,
  weights: readonly Float64Array[] = contacts.map(({ belief }) => weightsOf(belief)),
): StepCosts {
  const each = costs.map((own, c) => {
    const of = (step: Step): number[] => averaged(own[step], weights[c]!);
    return byStep(of);
  });
  const wait = waitingCost(each.map((own) => ({ wait: own.wait, act: own.wait })));
  return byStep((step) => {
    if (step === "wait") return wait;
    const acts = each.map((own) => ({ wait: own.wait, act: own[step] }));
    return wait - drivenGain(acts, prices[step]);
  });
}

/** The step that costs least; the first of equals. */
export const cheapest = (costs: StepCosts): Step =>
  steps.reduce((best, step) => (costs[step] < costs[best] ? step : best));

/**
 * The same connector with every contact but one taken as it is believed to be: what varies one
 * contact's belief need not average the others each time. The one stands first.
 */
export function focusedOn(held: HeldConnector, contact: number): HeldConnector {
  const order = [contact, ...held.contacts.keys()].filter((c, k) => k === 0 || c !== contact);
  return {
    ...held,
    contacts: order.map((c) => (c === contact ? held.contacts[c]! : collapsed(held.contacts[c]!))),
    costs: order.map((c) => (c === contact ? held.costs[c]! : averageCosts(held, c))),
  };
}

/** A contact whose belief is one point. */
const collapsed = (contact: HeldContact): HeldContact => ({
  ...contact,
  belief: [{ ...contact.belief[0]!, weight: 1 }],
});

function averageCosts({ contacts, costs }: HeldConnector, contact: number): PointCosts {
  const weights = weightsOf(contacts[contact]!.belief);
  const of = (step: Step): readonly Float64Array[] =>
    averaged(costs[contact]![step], weights).map((each) => Float64Array.of(each));
  return byStep(of);
}

/** The focused connector with another belief of the contact that stands first. */
export function withBelief(
  focused: HeldConnector,
  belief: ContactBelief,
  ageWeeks: number,
  stage: Stage,
): HeldConnector {
  const [first, ...others] = focused.contacts;
  const own = { ...first!, belief };
  return {
    ...focused,
    contacts: [own, ...others],
    costs: [pointCosts(own, ageWeeks, stage), ...focused.costs.slice(1)],
  };
}
