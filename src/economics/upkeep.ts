import type { ConnectorCosts } from "../domain/costs.ts";
import type { FirstAct } from "../domain/courses.ts";
import type { ConnectorPlace } from "../domain/decision.ts";
import { ageShares, type ContactBelief, statesOf } from "../policy/contact-belief.ts";
import type { ContactChain } from "../policy/contact-chain.ts";
import type { ContactLaw } from "../policy/contact-law.ts";
import type { FollowedContact } from "../policy/follow-rule.ts";
import type { ReadingRule, ReadingView } from "../policy/reading-rule.ts";

/**
 * Connectors that are kept alike, as one: those that need nothing now and whose contacts live by one
 * law stand in one group at their average, suspects each by itself. One-contact connectors lose
 * nothing by it, for chances add; where several contacts share a connector each is followed as the
 * group's average, as the forward pass takes contacts anyway.
 */
export interface UpkeepGroup {
  readonly law: ContactLaw;
  /** The same for groups whose laws are the same. */
  readonly kind: string;
  readonly places: readonly ConnectorPlace[];
  readonly contacts: readonly GroupContact[];
  readonly costs: ConnectorCosts;
  /** What the plan does now. */
  readonly first: FirstAct;
  /** A break is looked for before that; beliefs are those after the look. */
  readonly looks: boolean;
  /** At fault by the walk, and not worked on since. */
  readonly suspect: boolean;
}

/** Contacts of a group in like places. */
export interface GroupContact {
  /** In one connector. */
  readonly copies: number;
  /** The circuits that they lie on, of all connectors of the group. */
  readonly circuits: readonly string[];
  readonly view: ReadingView;
  /** By which readings the plan works on them, and on new ones in their place. */
  readonly rule: ReadingRule;
  readonly ruleWhenNew: ReadingRule;
  /** What is believed of them; shares add to 1. */
  readonly beliefs: readonly {
    readonly belief: ContactBelief;
    readonly ageWeeks: number;
    readonly share: number;
  }[];
}

/** The rule of one contact. */
export type RuleOf = (contact: GroupContact) => ReadingRule;

/** Chances of the states of each contact of a group now, of all ages, on a chain of its law. */
export const startsOf = (group: UpkeepGroup, chain: ContactChain): readonly Float64Array[] =>
  group.contacts.map(({ beliefs }) => {
    const start = new Float64Array(chain.size * chain.ages.length);
    for (const { belief, ageWeeks, share } of beliefs) {
      const ages = ageShares(chain, ageWeeks);
      for (const point of belief) {
        const states = statesOf(chain, point);
        for (const { index, share: ofAge } of ages)
          for (const { state, weight } of states)
            start[index * chain.size + state]! += share * ofAge * point.weight * weight;
      }
    }
    return start;
  });

/** The contacts as they stand now, on a chain of their law. `starts`: where that was found before. */
export const asTheyAre = (
  group: UpkeepGroup,
  chain: ContactChain,
  ruleOf: RuleOf,
  starts: readonly Float64Array[] = startsOf(group, chain),
): readonly FollowedContact[] =>
  group.contacts.map((contact, k) => {
    const { copies, view } = contact;
    return { chain, view, copies, start: starts[k]!, rule: ruleOf(contact) };
  });

/** The contacts of a connector that was just fitted. */
export function whenNew(group: UpkeepGroup, chain: ContactChain): readonly FollowedContact[] {
  const start = new Float64Array(chain.size * chain.ages.length);
  for (const { state, weight } of chain.fresh) start[state]! += weight;
  return group.contacts.map(({ copies, view, ruleWhenNew }) => ({
    chain,
    view,
    copies,
    start,
    rule: ruleWhenNew,
  }));
}
