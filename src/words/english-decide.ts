import type { Action } from "../domain/courses.ts";
import { NO_CURRENCY } from "../domain/currency.ts";
import type { Decision } from "../domain/decision.ts";
import { isOfLane } from "../domain/place.ts";
import { type DecideWords, type Held, heldTold, priceTold, ruleTold } from "./decide-words.ts";
import { englishFigures as figures } from "./english-figures.ts";
import { englishPlaces as places } from "./english-places.ts";
import { sentence } from "./figure-words.ts";
import { deviceBefore, inLine, type NamedPlace } from "./place-words.ts";

/** `lane 3's plate connector`, `the timer outlet`. */
function ownerName(place: NamedPlace): string {
  if (!isOfLane(place)) return `the ${places.connector(place)}`;
  return `${places.lane(place.lane)}'s ${deviceBefore(place)}${inLine(place.connector)}`;
}

const priceText = (minutes: number, cost: number, currency: string): string =>
  priceTold(minutes, cost, currency, "cost", figures);

/** `at least 1 week`. */
const heldWeeks = ({ weeks, atLeast }: Held): string =>
  `${atLeast ? "at least " : ""}${figures.weeks(weeks)}`;

/** `, and the last two held 2 and 3 weeks`; empty where no cleaning is on record that tells. */
function heldText(held: readonly Held[]): string {
  const told = heldTold(held);
  switch (told.kind) {
    case "nothing":
      return "";
    case "failed":
      return `, and ${told.failed} of the ${told.of} on record did not hold at all`;
    case "none-held":
      return `, and ${told.last === 1 ? "the last one" : "the last two"} did not hold at all`;
    case "one":
      return `, and the last one held ${heldWeeks(told.held)}`;
    case "two": {
      const [first, second] = [heldWeeks(told.held[0]), heldWeeks(told.held[1])];
      const short = told.alike ? first.replace(/ weeks?$/, "") : first;
      return `, and the last two held ${first === second ? first : `${short} and ${second}`}`;
    }
  }
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
        `cures it with a chance of ${figures.percent(film)}${heldText(weeksHeld)}.`
      );
  }
}

const ordinals = ["first", "second", "third"] as const;

function ruleText(decision: Decision): string {
  const rule = ruleTold(decision);
  if (rule.kind === "never") return "No reading makes work on it worth its price.";
  const under = `it where its ${decision.lastPoint} reads under ${figures.volts(rule.under)}`;
  if (rule.kind === "replace") return `The rule: replace ${under}.`;
  const { stillUnder } = rule;
  const after =
    rule.after === null ? null : `after the ${ordinals[rule.after - 1] ?? "third"} failure`;
  const clean = `The rule: clean ${under}`;
  if (stillUnder === null)
    return after === null
      ? `${clean}; however it then reads, cleaning on costs less than replacing it.`
      : `${clean}; replace it ${after}.`;
  const still = `replace it if it then still reads under ${figures.volts(stillUnder)}`;
  return `${clean}; ${still}${after === null ? "" : `, or ${after}`}.`;
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
    `${sentence(places.connector(place))}: at fault ${figures.percent(atFault)}${film === null ? "" : `, film ${figures.percent(film)}`}`,
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
