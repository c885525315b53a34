import { NO_CURRENCY } from "../domain/costs.ts";
import type { Action } from "../domain/courses.ts";
import type { Decision } from "../domain/decision.ts";
import { isOfLane } from "../domain/place.ts";
import type { DecideWords } from "./decide-words.ts";
import { englishFigures as figures } from "./english-figures.ts";
import { englishPlaces as places } from "./english-places.ts";
import { sentence } from "./figure-words.ts";
import { isDeviceNamed, type NamedPlace } from "./place-words.ts";

/** `lane 3's plate connector`, `the timer outlet`. */
function ownerName(place: NamedPlace): string {
  if (!isOfLane(place)) return `the ${places.connector(place)}`;
  const device = isDeviceNamed(place) ? `${place.device} ` : "";
  return `lane ${place.lane}'s ${device}${place.connector}`;
}

/** Price of a step in brackets with its minutes: `(12 min, EUR 8)`, `(12 min, cost 8)`. */
function priceText(minutes: number, cost: number, currency: string): string {
  const price = `${currency === NO_CURRENCY ? "cost " : ""}${figures.money(cost, currency)}`;
  return `(${Math.round(minutes)} min, ${price})`;
}

type Held = Decision["weeksHeld"][number];

/** `at least 1 week`. */
const heldWeeks = ({ weeks, atLeast }: Held): string =>
  `${atLeast ? "at least " : ""}${figures.weeks(weeks)}`;

/** `2 and 3 weeks`, or both in full where one word would not do for both. */
function heldBoth(one: Held, other: Held): string {
  const [first, second] = [heldWeeks(one), heldWeeks(other)];
  if (first === second) return first;
  const alike = one.atLeast === other.atLeast && Math.round(other.weeks) !== 1;
  return `${alike ? first.replace(/ weeks?$/, "") : first} and ${second}`;
}

/** `, and the last two held 2 and 3 weeks`; empty where no cleaning is on record that tells. */
function heldText(held: readonly Held[]): string {
  const telling = held.filter(({ weeks, atLeast }) => !atLeast || Math.round(weeks) > 0);
  const [one, other] = telling.slice(-2);
  if (one === undefined) return "";
  const which = other === undefined ? "the last one" : "the last two";
  if ([one, other ?? one].every(({ weeks }) => Math.round(weeks) === 0))
    return `, and ${which} did not hold at all`;
  return `, and ${which} held ${other === undefined ? heldWeeks(one) : heldBoth(one, other)}`;
}

/** `, and 3 of the 4 on record did not hold at all`; how the last ones held where all did. */
function failedText(held: readonly Held[]): string {
  const failed = held.filter(({ weeks, atLeast }) => Math.round(weeks) === 0 && !atLeast).length;
  if (failed === 0) return heldText(held);
  return `, and ${failed} of the ${held.length} on record did not hold at all`;
}

const aBreak =
  "No current passes: a pulled-out wire, a bent or missing pin, a connector that is not home. " +
  "Cleaning cures none of these.";

const lowered = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

const courses: Readonly<Record<Action, string>> = {
  look: "look for the break",
  wait: "wait for the next walk",
  "read-again": "read it again",
  clean: "clean it and read",
  replace: "replace it",
};

function actText(action: Action, decision: Decision, currency: string): string {
  const name = ownerName(decision.place);
  const { lookMinutes, cleanMinutes, replaceMinutes, film, weeksHeld } = decision;
  switch (action) {
    case "look": {
      const looking = priceText(lookMinutes, decision.lookCost, currency);
      const then = actText(decision.ifNoBreak ?? "wait", decision, currency);
      return (
        `Look for the break in ${name} now ${looking}, push it home and read it, before anything ` +
        `else is done. ${aBreak} If that mends nothing, ${lowered(then)}`
      );
    }
    case "wait":
      return `Leave ${name} until the next walk: work on it now costs more than it saves by then.`;
    case "read-again":
      return `Read ${name} again before anything is done: one more reading may change what is best.`;
    case "clean":
      return `Clean ${name} now ${priceText(cleanMinutes, decision.cleanCost, currency)}, and read it.`;
    case "replace":
      return (
        `Replace ${name} now ${priceText(replaceMinutes, decision.replaceCost, currency)}: a cleaning ` +
        `cures it with a chance of ${figures.percent(film)}${failedText(weeksHeld)}.`
      );
  }
}

const ordinals = ["first", "second", "third"] as const;

function ruleText({ thresholds, lastPoint }: Decision): string {
  const { first, cleanUnder, replaceUnder, replaceAfter } = thresholds;
  if (cleanUnder === null) return "No reading makes work on it worth its price.";
  if (first === "replace")
    return `The rule: replace it where its ${lastPoint} reads under ${figures.volts(cleanUnder)}.`;
  const clean = `The rule: clean it where its ${lastPoint} reads under ${figures.volts(cleanUnder)}`;
  const after =
    replaceAfter === null ? null : `after the ${ordinals[replaceAfter - 1] ?? "third"} failure`;
  if (replaceUnder === null && after === null)
    return `${clean}; however it then reads, cleaning on costs less than replacing it.`;
  if (replaceUnder === null) return `${clean}; replace it ${after}.`;
  const still = `replace it if it then still reads under ${figures.volts(replaceUnder)}`;
  return `${clean}; ${still}${after === null || replaceAfter === 1 ? "" : `, or ${after}`}.`;
}

/** Clean, replace or leave, in English. */
export const englishDecide: DecideWords = {
  head: (pool, walk) => `${pool}, walk ${walk}`,
  nothing: "no connector is a suspect; nothing to clean or to replace.",
  unjudged: (doubted, of) =>
    `this walk cannot be judged. ${doubted} of its ${of} readings are doubted, and ` +
    "no circuit is sound or weak. Read them again first (dropwise check lists them).",
  assumedLoad: (ohms) =>
    `The meter's load is not known: costs and courses are reckoned as if it were ${ohms} Ω. ` +
    "Measure it (dropwise meter) before money is spent.",
  suspect: (place, atFault, film) =>
    `${sentence(places.connector(place))}: at fault ${figures.percent(atFault)}, film ${figures.percent(film)}`,
  courses,
  act: (decision, currency) => actText(decision.action, decision, currency),
  aBreak,
  rule: ruleText,
  metal:
    "It was cleaned and still reads low: by common practice that points to oxidised metal, which " +
    "no cleaning cures.",
  sure: ({ action, ifNoBreak, sure }) =>
    action === "look" && ifNoBreak !== null
      ? `${figures.percent(sure)} that to ${courses[ifNoBreak]} is then the cheapest`
      : `${figures.percent(sure)} that this is the cheapest`,
  nearly: (kinds) =>
    `; to ${kinds.map((kind) => courses[kind]).join(" or to ")} costs nearly the same`,
  howSure: (sure) => `How sure: ${sure}.`,
  heads: (currency) => [
    "  now",
    `present\ncost${currency === NO_CURRENCY ? "" : ` [${currency}]`}`,
    "chance\nbest",
  ],
  workedOnSince: "Worked on since:",
  readAgain: (place, action, date) => {
    const [were, it] = place.connector.endsWith("s") ? ["were", "them"] : ["was", "it"];
    return (
      `${sentence(places.connector(place))} ${were} ${action} on ${date}, after the latest walk: ` +
      `read ${it} again before deciding.`
    );
  },
};
