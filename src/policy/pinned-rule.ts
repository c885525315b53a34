import { courses, type Step } from "../domain/courses.ts";
import type { BeliefPoint, ContactBelief } from "./contact-belief.ts";
import { oxideAfterFailure } from "./contact-chain.ts";
import type { HeldContact } from "./contact-costs.ts";
import { rateBin } from "./contact-law.ts";
import { cheapest, type HeldConnector, stepCosts, withBelief } from "./held-connector.ts";
import type { ReadingRule, ReadingView } from "./reading-rule.ts";

/** What a rule is read off. */
export interface RuleInput {
  /**
   * The connector, the contact that the rule is about standing first; of its belief the kinds and
   * growths count, not the levels.
   */
  readonly focused: HeldConnector;
  /** Age of the connector's body [weeks]. */
  readonly ageWeeks: number;
  readonly view: ReadingView;
  /** Contact's ln ohms behind a reading of the last point, all else on the path as it is. */
  readonly levelBehind: (volts: number) => number;
}

/** Display steps of the scan [V], and where it ends: what reads less is looked at as a break. */
const [STEP, LOWEST] = [0.01, 0.5] as const;
/** Steps of the display from one look of the scan to the next, until something is done. */
const STRIDE = 4;
/** Failed cleanings in a row that a rule may wait for. */
const MOST_FAILURES = 3;
/** Three nodes of a normal distribution, in standard deviations (Gauss-Hermite). */
const noiseNodes = [
  { at: -Math.sqrt(3), weight: 1 / 6 },
  { at: 0, weight: 2 / 3 },
  { at: Math.sqrt(3), weight: 1 / 6 },
] as const;

/** Growths and chances of oxide of what conducts, levels left out, after so many failed cleanings. */
function kindsAfter({ belief, policy }: HeldContact, failures: number): readonly BeliefPoint[] {
  const { law } = policy.byShare[0]!.solved.chain;
  const conducts = belief.filter(({ state }) => state === "conducts");
  const known = conducts.reduce((sum, { weight }) => sum + weight, 0);
  const fresh = { state: "conducts", oxide: law.oxide, level: 0 } as const;
  const points =
    known > 1e-6
      ? conducts
      : law.modes.map((growth) => ({ ...fresh, growth, weight: growth.weight }));
  const sums = new Map<string, { point: BeliefPoint; weight: number; oxide: number }>();
  for (const point of points) {
    const key = rateBin(point.growth);
    const sum = sums.get(key) ?? { point, weight: 0, oxide: 0 };
    sum.weight += point.weight;
    sum.oxide += point.weight * point.oxide;
    sums.set(key, sum);
  }
  return [...sums.values()].map(({ point, weight, oxide }) => {
    let chance = oxide / weight;
    for (let k = 0; k < failures; k++) chance = oxideAfterFailure(chance, law.cure);
    return { ...point, oxide: chance, weight: weight / (known > 1e-6 ? known : 1) };
  });
}

/** What is believed of the contact where its path reads so many volts. */
const beliefAt = (
  kinds: readonly BeliefPoint[],
  volts: number,
  { view, levelBehind }: RuleInput,
): ContactBelief =>
  noiseNodes.flatMap(({ at, weight }) => {
    const level = levelBehind(volts + at * view.noise);
    return kinds.map((kind) => ({ ...kind, level, weight: kind.weight * weight }));
  });

function stepAt(
  input: RuleInput,
  kinds: readonly BeliefPoint[],
  volts: number,
  second: boolean,
): Step {
  const { focused, ageWeeks } = input;
  const belief = beliefAt(kinds, volts, input);
  return cheapest(stepCosts(withBelief(focused, belief, ageWeeks, second ? "second" : "first")));
}

/** A rule knows cleaning and replacing: whether a step counts as the second. */
const replaces = (step: Step): boolean => courses[step].first === "replace";

/** The highest reading under which something is done, and what; null: nothing down to the lowest. */
function turnOf(
  input: RuleInput,
  failures: number,
  acts: (step: Step) => boolean,
  second = failures > 0,
): { readonly under: number; readonly step: Step } | null {
  const kinds = kindsAfter(input.focused.contacts[0]!, failures);
  const top = Math.round(input.view.volts(Number.NEGATIVE_INFINITY) / STEP);
  const at = (k: number): Step => stepAt(input, kinds, k * STEP, second);
  for (let k = top; k * STEP > LOWEST; k -= STRIDE) {
    if (!acts(at(k))) continue;
    let first = k;
    while (first < Math.min(top, k + STRIDE - 1) && acts(at(first + 1))) first++;
    return { under: (first + 1) * STEP, step: at(first) };
  }
  return null;
}

/**
 * Failed cleanings after which, at later walks, nothing is done any more, whatever it reads; null: not
 * within three.
 */
function leavesAfter(input: RuleInput): number | null {
  for (let failures = 1; failures <= MOST_FAILURES; failures++)
    if (turnOf(input, failures, (step) => step !== "wait", false) === null) return failures;
  return null;
}

/**
 * The rule that the policy comes to for one contact, its readings all that is seen of its level.
 *
 * `cleanUnder` is null where nothing is ever worth doing; a replacement after the first failed
 * cleaning stands as `replaceUnder`, one after more as `replaceAfter`.
 */
export function pinnedRule(input: RuleInput): ReadingRule {
  const first = turnOf(input, 0, (step) => step !== "wait");
  const rule = {
    first: "clean",
    cleanUnder: null,
    replaceUnder: null,
    replaceAfter: null,
    leaveAfter: null,
  } as const;
  if (first === null) return { ...rule, cleanEvery: null };
  const cleanUnder = Number(first.under.toFixed(2));
  if (replaces(first.step)) return { ...rule, first: "replace", cleanUnder, cleanEvery: null };
  let [replaceUnder, replaceAfter]: [number | null, number | null] = [null, null];
  for (let failures = 1; failures <= MOST_FAILURES && replaceAfter === null; failures++) {
    const turn = turnOf(input, failures, replaces);
    if (turn === null) continue;
    const under = Number(Math.min(turn.under, cleanUnder).toFixed(2));
    if (failures === 1) replaceUnder = under;
    if (under >= cleanUnder) replaceAfter = failures;
    else if (failures === MOST_FAILURES && replaceUnder === null) replaceUnder = under;
  }
  const leaveAfter = replaceAfter === null ? leavesAfter(input) : null;
  return { ...rule, cleanUnder, replaceUnder, replaceAfter, leaveAfter, cleanEvery: null };
}
