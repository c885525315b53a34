import { connectorCosts } from "../domain/costs.ts";
import { type Action, courses, type FirstAct } from "../domain/courses.ts";
import { connectorPlace } from "../domain/decision.ts";
import type { ConnectorFinding } from "../domain/findings.ts";
import { type ConnectorToDecide, laidOut, ruleFor } from "../policy/decide-pool.ts";
import { decideAt, type WalkDecision } from "../policy/decide-walk.ts";
import { type Desk, layConnector } from "../policy/desk.ts";
import { afterLook, type LookFollowed } from "../policy/look.ts";
import type { ReadingRule } from "../policy/reading-rule.ts";
import { isDecidedOn } from "../policy/work-since.ts";
import type { GroupContact, UpkeepGroup } from "./upkeep.ts";

/** A connector before it is put into a group. */
interface Laid {
  readonly finding: ConnectorFinding;
  readonly connector: ConnectorToDecide;
  readonly decision: WalkDecision | null;
}

/** A contact of one, with what its like are kept by. */
interface Member {
  readonly laid: Laid;
  readonly index: number;
  readonly rule: ReadingRule;
  readonly ruleWhenNew: ReadingRule;
}

const kindOf = ({ connector }: Laid): string =>
  `${connector.kind.name} ${connector.contacts.length}`;

/** Contacts whose failure costs about as much are kept by one rule. */
const roleOf = (desk: Desk, { connector }: Laid, index: number): number =>
  Math.round(2 * Math.log(desk.failureCosts(connector.contacts[index]!.circuit)));

/** Contacts likelier over the limit than not are followed by themselves. */
const isLow = ({ laid: { connector }, index }: Member): boolean =>
  connector.contacts[index]!.belief.reduce(
    (sum, { state, level, weight }) =>
      state === "conducts" && level < connector.kind.law.limit.logOhms ? sum + weight : sum,
    0,
  ) < 0.5;

/** Contacts of so many connectors in like places, at their average. */
function averaged(members: readonly Member[], connectors: number): GroupContact {
  const contacts = members.map(({ laid, index }) => laid.connector.contacts[index]!);
  const { rule, ruleWhenNew } = members[0]!;
  return {
    copies: members.length / connectors,
    circuits: contacts.map(({ circuit }) => circuit),
    view: contacts[0]!.reading,
    rule,
    ruleWhenNew,
    beliefs: contacts.map(({ belief }, k) => ({
      belief,
      ageWeeks: members[k]!.laid.connector.ageWeeks,
      share: 1 / members.length,
    })),
  };
}

/** Puts things with the same key together, in order of appearance. */
function together<T>(things: readonly T[], keyOf: (thing: T) => string): readonly T[][] {
  const sets = new Map<string, T[]>();
  for (const each of things) sets.set(keyOf(each), [...(sets.get(keyOf(each)) ?? []), each]);
  return [...sets.values()];
}

/** A contact after its break was looked for, whichever option is then taken. */
const lookedAt = (contact: GroupContact, { kind }: ConnectorToDecide): GroupContact => ({
  ...contact,
  beliefs: contact.beliefs.map((each) => ({ ...each, belief: afterLook(each.belief, kind.law) })),
});

/** What the plan does at the first walk; after a look, by what is then read. */
const firstOf = (action: Action, look: LookFollowed | null): FirstAct =>
  look?.inVain === "wait" ? "wait" : courses[action].first;

/** Connectors of one kind as a group; one alone has its low contacts apart. */
function groupOf(
  desk: Desk,
  connectors: readonly Laid[],
  usual: (laid: Laid, index: number) => ReadingRule,
): UpkeepGroup {
  const { costs } = desk.input;
  const [one] = connectors;
  const { finding, connector, decision } = one!;
  const members = connectors.flatMap((laid) =>
    laid.connector.contacts.map((_, index): Member => {
      const ruleWhenNew = usual(laid, index);
      const weighed = laid.decision?.weighed;
      return {
        laid,
        index,
        rule: weighed?.worst === index ? weighed.rule : ruleWhenNew,
        ruleWhenNew,
      };
    }),
  );
  const sets = together(members, (member) =>
    JSON.stringify([
      roleOf(desk, member.laid, member.index),
      member.rule,
      connectors.length === 1 && isLow(member) ? member.index : null,
    ]),
  );
  const action = decision?.weighed.action ?? "wait";
  const contacts = sets.map((set) => averaged(set, connectors.length));
  const look = decision?.weighed.look ?? null;
  return {
    law: connector.kind.law,
    kind: kindOf(one!),
    places: connectors.map((each) => connectorPlace(each.finding)),
    contacts: look === null ? contacts : contacts.map((each) => lookedAt(each, connector)),
    costs: connectorCosts(costs, finding),
    first: firstOf(action, look),
    looks: look !== null,
    suspect: decision !== null,
  };
}

/**
 * Every connector of a walk in its group: suspects, and the first of the ranking, by themselves, the
 * others by kind. Decisions are those of `decide`, at the same desk.
 */
export function upkeepGroups(desk: Desk): readonly UpkeepGroup[] {
  const { walk, trend } = desk.input;
  const decisions = decideAt(desk, (finding) => isDecidedOn(walk, trend, finding));
  const laid = walk.connectors.map(
    (finding): Laid => ({
      finding,
      connector: layConnector(desk, finding).connector,
      decision: decisions.find((each) => each.finding === finding) ?? null,
    }),
  );
  const usual = usualRules(desk, laid);
  const alone = laid.filter(({ decision }, k) => decision !== null || k === 0);
  const others = laid.filter((each) => !alone.includes(each));
  const alike = (each: Laid): string => {
    const roles = each.connector.contacts.map((_, index) => roleOf(desk, each, index));
    return `${kindOf(each)} ${roles.sort((a, b) => a - b)}`;
  };
  return [...alone.map((each) => [each]), ...together(others, alike)].map((each) =>
    groupOf(desk, each, usual),
  );
}

/** By kind and role: the rule that a contact of the soundest connector comes to. */
function usualRules(desk: Desk, laid: readonly Laid[]): (laid: Laid, index: number) => ReadingRule {
  const rules = new Map<string, ReadingRule>();
  const keyOf = (each: Laid, index: number): string =>
    `${kindOf(each)} ${roleOf(desk, each, index)}`;
  const prices = { now: desk.failureCosts, later: desk.failureCosts };
  for (const each of laid.toSorted((a, b) => a.finding.atFault - b.finding.atFault)) {
    const { contacts } = each.connector;
    if (contacts.every((_, index) => rules.has(keyOf(each, index)))) continue;
    const held = laidOut(each.connector, desk.shelf, prices);
    for (const index of contacts.keys())
      if (!rules.has(keyOf(each, index)))
        rules.set(keyOf(each, index), ruleFor(each.connector, held, index));
  }
  return (each, index) => rules.get(keyOf(each, index))!;
}
