import { type Action, byStep, type Step, steps } from "../domain/courses.ts";
import { type ClassPolicy, classPolicy, type Stage } from "./class-policy.ts";
import { type ContactBelief, soundBelief } from "./contact-belief.ts";
import type { ContactLaw, StepPrices } from "./contact-law.ts";
import {
  cheapest,
  focusedOn,
  type HeldConnector,
  heldConnector,
  stepCosts,
  weightsOf,
} from "./held-connector.ts";
import { type Look, type LookFollowed, lookFollowed } from "./look.ts";
import { pinnedRule } from "./pinned-rule.ts";
import { type NextReading, readAgainCost } from "./read-again.ts";
import type { ReadingRule } from "./reading-rule.ts";
import type { Horizon, SolvedChain } from "./solve-chain.ts";

/** Connectors of one kind: all that their policy depends on but the price of a failing device. */
export interface ConnectorKind {
  readonly name: string;
  readonly law: ContactLaw;
  readonly contacts: number;
  readonly prices: Pick<StepPrices, "clean" | "replace">;
}

/** One contact as it stands, and the path that it lies on. */
export interface ContactToDecide {
  readonly circuit: string;
  readonly belief: ContactBelief;
  /** What the other contacts of the path have over sound ones [Ω]. */
  readonly excess: number;
  /** Last point's reading, the other contacts of the path as they are. */
  readonly reading: NextReading;
  readonly levelBehind: (volts: number) => number;
}

/** One connector to be decided on. */
export interface ConnectorToDecide {
  readonly kind: ConnectorKind;
  readonly ageWeeks: number;
  readonly stage: Stage;
  readonly contacts: readonly ContactToDecide[];
}

/** What a device's failure in a meet costs, by circuit, in lost lanes. */
export type FailureCosts = (circuit: string) => number;

/** Prices that all connectors share. */
export interface LossPrices {
  /** Meets a week times the cost of a lost lane [currency per week]. */
  readonly lostLaneWeek: number;
  /** P(a lane is lost in a meet | its path reads low). */
  readonly lossChance: number;
  /** The same while a contact on it comes and goes. */
  readonly intermittentLoss: number;
}

/** Prices of one contact's steps where its device's failure costs so many lost lanes. */
export const contactPrices = (
  { prices }: ConnectorKind,
  loss: LossPrices,
  failureCost: number,
): StepPrices => {
  const openWeek = loss.lostLaneWeek * failureCost;
  return {
    ...prices,
    openWeek,
    lowWeek: openWeek * loss.lossChance,
    intermittentWeek: openWeek * loss.intermittentLoss,
  };
};

/** Policies of kinds, each solved once for each price of a failure. */
export class PolicyShelf {
  private readonly kept = new Map<string, ClassPolicy>();
  private readonly weeks: number;
  private readonly horizon: Horizon;
  private readonly loss: LossPrices;

  constructor(weeks: number, horizon: Horizon, loss: LossPrices) {
    this.weeks = weeks;
    this.horizon = horizon;
    this.loss = loss;
  }

  policyOf(kind: ConnectorKind, failureCost: number): ClassPolicy {
    // Prices nearer than a tenth move few decisions: kinds and lanes share their policies.
    const rounded = Math.exp(Math.round(Math.log(Math.max(1e-6, failureCost)) * 10) / 10);
    const key = `${kind.name} ${kind.contacts} ${rounded}`;
    const known = this.kept.get(key);
    if (known !== undefined) return known;
    const prices = contactPrices(kind, this.loss, rounded);
    const policy = classPolicy(kind.law, prices, kind.contacts, this.weeks, this.horizon);
    this.kept.set(key, policy);
    return policy;
  }

  /** One contact of a kind that pays its even share of every price. */
  typicalOf(kind: ConnectorKind, failureCost: number): SolvedChain {
    return this.policyOf(kind, failureCost).byShare[0]!.solved;
  }
}

/** Lays a connector out under its policies. */
export const laidOut = (
  connector: ConnectorToDecide,
  shelf: PolicyShelf,
  { now, later }: { readonly now: FailureCosts; readonly later: FailureCosts },
): HeldConnector =>
  heldConnector(
    connector.contacts.map(({ circuit, belief, excess }) => ({
      policy: shelf.policyOf(connector.kind, now(circuit)),
      cured: shelf.policyOf(connector.kind, later(circuit)),
      belief,
      excess,
    })),
    connector.ageWeeks,
    connector.kind.prices,
    connector.stage,
  );

/** Everything that a connector's decision says in numbers. */
export interface WeighedConnector {
  readonly action: Action;
  /** What a look that comes first costs and leads to; null where there is none. */
  readonly look: LookFollowed | null;
  /** Expected cost from now on; a look's stands with it [currency]. */
  readonly costs: Readonly<Record<Exclude<Action, "look">, number>>;
  /** P(each step is the cheapest, were the worst contact's state known). */
  readonly chances: Readonly<Record<Step, number>>;
  /** P(the action is the cheapest): of reading again, that the step it leads to is. */
  readonly sure: number;
  readonly rule: ReadingRule;
  /** Index of the contact that speaks loudest for work. */
  readonly worst: number;
}

/** The steps in which something is done. */
const works = steps.filter((step) => step !== "wait");

/** The contact that speaks loudest for work: what it alone would save by it. */
function worstOf({ contacts, costs }: HeldConnector): number {
  const gains = costs.map((each, c) => {
    const weights = weightsOf(contacts[c]!.belief);
    const at = (step: Step): number =>
      each[step].at(-1)!.reduce((sum, cost, k) => sum + weights[k]! * cost, 0);
    return at("wait") - Math.min(...works.map(at));
  });
  return gains.indexOf(Math.max(...gains));
}

/** P(each step is the cheapest), over the states that the contact standing first may be in. */
function chancesOf(focused: HeldConnector): Readonly<Record<Step, number>> {
  const beliefs = focused.contacts.map(({ belief }) => weightsOf(belief));
  const own = beliefs[0]!;
  const chances = byStep(() => 0);
  for (const [k, weight] of own.entries()) {
    if (weight === 0) continue;
    const certain = new Float64Array(own.length);
    certain[k] = 1;
    chances[cheapest(stepCosts(focused, [certain, ...beliefs.slice(1)]))] += weight;
  }
  return chances;
}

/** Reading again is thought about only where a step other than the best might be right. */
const DOUBT = 0.01;

/**
 * The rule to pin to the wall for one contact of a connector, its others sound: it is kept at all walks
 * to come, and work that others ask for now is none of its readings' business.
 */
export const ruleFor = (
  { ageWeeks, contacts, kind }: ConnectorToDecide,
  held: HeldConnector,
  contact: number,
): ReadingRule => {
  const { reading, levelBehind } = contacts[contact]!;
  const sound = heldConnector(
    held.contacts.map((each, c) =>
      c === contact ? each : { ...each, belief: soundBelief(kind.law) },
    ),
    ageWeeks,
    kind.prices,
  );
  const focused = focusedOn(sound, contact);
  return pinnedRule({ focused, ageWeeks, view: reading, levelBehind });
};

/**
 * Weighs one connector.
 *
 * @param lookAt a break that is looked for before anything else is done; null: none
 * @param usual the same with the rest of its lanes as they usually are: what its rule is read off
 */
export function weighConnector(
  connector: ConnectorToDecide,
  held: HeldConnector,
  lookAt: Look | null = null,
  usual: { readonly connector: ConnectorToDecide; readonly held: HeldConnector } = {
    connector,
    held,
  },
): WeighedConnector {
  const worst = worstOf(held);
  const contact = connector.contacts[worst]!;
  const costs = stepCosts(held);
  const best = cheapest(costs);
  const focused = focusedOn(held, worst);
  const chances = chancesOf(focused);
  const again =
    1 - chances[best] < DOUBT
      ? contact.reading.price + costs[best]
      : readAgainCost(focused, 0, contact.reading);
  const weighed = { costs: { ...costs, "read-again": again }, chances, worst };
  const rule = ruleFor(usual.connector, usual.held, worst);
  if (lookAt !== null) {
    const look = lookFollowed(held, connector, lookAt);
    // What no look has mended no cleaning mends: where it is left, one failed cleaning says so.
    const left = look.inVain === "wait" && rule.replaceAfter === null;
    return {
      ...{ ...weighed, action: "look", look },
      sure: chancesOf(look.left)[look.inVain],
      rule: left ? { ...rule, leaveAfter: 1 } : rule,
    };
  }
  const action = again < costs[best] ? "read-again" : best;
  const sure = action === "read-again" ? Math.max(...steps.map((s) => chances[s])) : chances[best];
  return { ...weighed, action, look: null, sure, rule };
}
