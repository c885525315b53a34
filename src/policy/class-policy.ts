import { byStep, type Step, steps } from "../domain/courses.ts";
import { expectedAt } from "./carry.ts";
import { type BeliefPoint, type ContactBelief, statesOf } from "./contact-belief.ts";
import { type ContactChain, type Entry, oxideAfterFailure } from "./contact-chain.ts";
import type { ContactLaw, StepPrices } from "./contact-law.ts";
import { drivenGain, sharesFor, waitingCost } from "./shared-price.ts";
import { type Horizon, type SolvedChain, solveChain } from "./solve-chain.ts";
import { StepTables } from "./step-tables.ts";

/** A walk has two stages: act, read again, act once more. */
export type Stage = "first" | "second";

/** Expected cost from now on of each step [currency]. */
export type StepCosts = Readonly<Record<Step, number>>;

/** One contact's policy at one share of the prices. */
interface SharePolicy {
  readonly share: number;
  /** Solved when first asked for. */
  readonly solved: SolvedChain;
}

/** The policy of one contact of a class, for every share that a connector may ask for. */
export interface ClassPolicy {
  readonly byShare: readonly SharePolicy[];
}

const scaled = (prices: StepPrices, share: number): StepPrices => ({
  ...prices,
  clean: share * prices.clean,
  replace: share * prices.replace,
});

/**
 * Solves a class.
 *
 * @param contacts how many a connector of it holds
 * @param weeks from one walk to the next
 */
export function classPolicy(
  law: ContactLaw,
  prices: StepPrices,
  contacts: number,
  weeks: number,
  horizon: Horizon,
): ClassPolicy {
  return {
    byShare: sharesFor(contacts).map((share): SharePolicy => {
      let known: SolvedChain | null = null;
      return {
        share,
        get solved() {
          known ??= solveChain(law, scaled(prices, share), weeks, horizon);
          return known;
        },
      };
    }),
  };
}

/** One contact of a connector: how its class is kept, and what is believed of it. */
export interface HeldContact {
  readonly policy: ClassPolicy;
  /** The same at the price that a failure has once this contact is good again. */
  readonly cured: ClassPolicy;
  readonly belief: ContactBelief;
  /** What the other contacts of its path have over sound ones: it stays when this one is cured [Ω]. */
  readonly excess: number;
}

/** What a step costs a contact, work's price left out: `[step][share][point of its belief]`. */
export type PointCosts = Readonly<Record<Step, readonly Float64Array[]>>;

/** A level as the path feels it: with what the others of the path have over sound ones. */
const felt = (level: number, excess: number): number =>
  excess > 0 ? Math.log(Math.exp(level) + excess) : level;

/** Tables of pairs of policies, laid out once. */
const tables = new WeakMap<ClassPolicy, WeakMap<ClassPolicy, Map<string, StepTables>>>();

function tablesOf({ policy, cured }: HeldContact, ageWeeks: number, stage: Stage): StepTables {
  const pairs = tables.get(policy) ?? new WeakMap<ClassPolicy, Map<string, StepTables>>();
  tables.set(policy, pairs);
  const own = pairs.get(cured) ?? new Map<string, StepTables>();
  pairs.set(cured, own);
  const key = `${stage} ${ageWeeks}`;
  const made = own.get(key) ?? new StepTables(policy, cured, ageWeeks, stage);
  own.set(key, made);
  return made;
}

/** What each step costs from each point of a contact's belief. */
export function pointCosts(contact: HeldContact, ageWeeks: number, stage: Stage): PointCosts {
  const { policy, cured, belief, excess } = contact;
  const at = tablesOf(contact, ageWeeks, stage);
  const shares = policy.byShare.length;
  const points = belief.map((point) => ({ ...point, level: felt(point.level, excess) }));
  const wait = points.map((point) => waitingAt(at, point, shares));
  const clean = points.map((point, k) => cleanedAt(at, point, wait[k]!, excess));
  const fresh = at.fresh.get(excess) ?? freshCosts(cured, at.chain, excess);
  at.fresh.set(excess, fresh);
  const byShare = (each: readonly Float64Array[]): readonly Float64Array[] =>
    policy.byShare.map((_, n) => Float64Array.from(each, (values) => values[n]!));
  return {
    wait: byShare(wait),
    clean: byShare(clean),
    replace: fresh.map((cost) => new Float64Array(belief.length).fill(cost)),
  };
}

/** What waiting costs from a point, by shares of the price. */
function waitingAt(at: StepTables, point: BeliefPoint, shares: number): Float64Array {
  if (point.state !== "conducts") return at.ofStates(statesOf(at.chain, point), "wait");
  const sums = new Float64Array(shares);
  at.add("wait", point.growth, point.oxide, point.level, 1, sums);
  return sums;
}

/** What a cleaning of a point leads to, its price left out: cured and not. */
function cleanedAt(
  at: StepTables,
  point: BeliefPoint,
  waiting: Float64Array,
  excess: number,
): Float64Array {
  const { law } = at.chain;
  const { state, growth, level } = point;
  const sums = new Float64Array(waiting.length);
  const toFloor = (oxide: number, weight: number): void => {
    for (const { value, weight: share } of law.floor)
      at.add("cured", growth, oxide, felt(value, excess), weight * share, sums);
  };
  switch (state) {
    case "conducts": {
      const share = (1 - point.oxide) * law.cure;
      toFloor(0, share);
      const oxide = oxideAfterFailure(point.oxide, law.cure);
      at.add("later", growth, oxide, level, 1 - share, sums);
      return sums;
    }
    case "open":
    case "intermittent":
      toFloor(law.oxide, 1);
      return sums;
    default:
      return at.ofStates(statesOf(at.chain, point), "later");
  }
}

/** What a new contact costs, by shares of the price. */
function freshCosts(cured: ClassPolicy, chain: ContactChain, excess: number): readonly number[] {
  const fresh = freshEntries(chain, excess);
  return cured.byShare.map(({ solved }) => expectedAt(fresh, solved.wait, 0));
}

/** A new contact as states of age 0, the others of its path as they are. */
function freshEntries(chain: ContactChain, excess: number): readonly Entry[] {
  if (excess === 0) return chain.fresh;
  const { modes, floor, oxide } = chain.law;
  return modes.flatMap((growth) =>
    floor.flatMap(({ value, weight }) => {
      const point = { state: "conducts", oxide, growth, level: felt(value, excess) } as const;
      return statesOf(chain, { ...point, weight: 1 }).map((entry) => ({
        state: entry.state,
        weight: entry.weight * growth.weight * weight,
      }));
    }),
  );
}

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
