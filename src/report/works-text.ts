import { isAboveLanes, isOfLane, isPassedBy } from "../domain/place.ts";
import type { CleaningScore } from "../history/cleaning-record.ts";
import { foundTrouble, hadSomethingToCure } from "../history/cleaning-score.ts";
import type { Observation, Segment } from "../history/contact-history.ts";
import type { ContactTrend, PoolTrend } from "../history/trend.ts";
import { sentence } from "../words/figure-words.ts";
import { inLine } from "../words/place-words.ts";
import { dayWords } from "./day-words.ts";
import {
  circuitText,
  connectorName,
  endText,
  laneText,
  ohmsFigures,
  ohmsText,
  percentText,
  weeksText,
} from "./names.ts";

/** What a walk saw of a contact: `0.31 Ω`, or `under 12 Ω` where it saw no more than that. */
export function seenWords({ sight }: Observation): string {
  if (sight.kind === "resolved" || sight.kind === "either")
    return ohmsText(Math.exp(sight.logOhms));
  if (sight.kind === "unseen") return "what this meter cannot see";
  if (sight.high === Number.POSITIVE_INFINITY) return "open";
  const high = ohmsText(Math.exp(sight.high));
  return sight.low === Number.NEGATIVE_INFINITY
    ? `under ${high}`
    : `${ohmsFigures(Math.exp(sight.low))} to ${high}`;
}

/** The last walk before a work and the first one after it, up to the next work. */
interface Around {
  readonly before: Observation | undefined;
  readonly after: Observation | undefined;
}

const aroundOf = (segments: readonly Segment[], at: number): Around => ({
  before: segments[at - 1]?.observations.at(-1),
  after: segments[at]?.observations[0],
});

/** The record of the connector that a contact sits in. */
const bodyOf = (contact: ContactTrend, { cleanings }: PoolTrend) =>
  cleanings.connectors.find((one) => one.point === contact.point && isPassedBy(one, contact));

/** `Lane 3 plate connector`; of what lanes share, whose contact it is: `Timer outlet (lane 3 touchpad)`. */
export function contactName(contact: ContactTrend, trend: PoolTrend): string {
  const body = bodyOf(contact, trend);
  if (body !== undefined && isAboveLanes(body))
    return `${sentence(connectorName(body))} (${circuitText(contact)})`;
  return sentence(
    isOfLane(contact)
      ? `${laneText(contact.lane)} ${inLine(contact.connector)}${endText(contact.end)}`
      : contact.connector,
  );
}

/** `Lane 3 plate connector (touchpad)`: the device too, where the name has not said it. */
function placeName(contact: ContactTrend, trend: PoolTrend): string {
  const name = contactName(contact, trend);
  return name.endsWith(`(${circuitText(contact)})`) || contact.connector.startsWith(contact.device)
    ? name
    : `${name} (${contact.device})`;
}

/** `147 Ω before, 12 to 27 Ω after`. */
function changeWords({ before, after }: Around): string {
  const was = before === undefined ? "not read before" : `${seenWords(before)} before`;
  const is = after === undefined ? "not read after" : `${seenWords(after)} after`;
  return `${was}, ${is}`;
}

/** `, held at least 3 weeks`; empty where that would say nothing. */
function heldWords(score: CleaningScore): string {
  const { weeksHeld, heldUntil } = score;
  if (heldUntil === null) return "";
  if (weeksHeld === null)
    return heldUntil === "trouble" ? ", trouble again by the first walk after it" : "";
  const none = Math.round(weeksHeld) === 0;
  const weeks = weeksText(weeksHeld);
  if (!hadSomethingToCure(score)) {
    if (heldUntil !== "trouble") return "";
    return none ? ", but trouble soon after" : `, trouble ${weeks} later`;
  }
  switch (heldUntil) {
    case "trouble":
      if (weeksHeld === 0) return ", did not hold";
      return none ? ", held under a week" : `, held ${weeks}`;
    case "next work":
      return none ? "" : `, held at least ${weeks}`;
    case "last walk":
      return none ? "" : `, still holding after ${weeks}`;
  }
}

/** One cleaning: what it met, what it left, whether there was film, how long it held. */
export function cleaningLine(score: CleaningScore, trend: PoolTrend, year: number): string {
  const contact = trend.contacts.find(
    ({ lane, device, point }) =>
      lane === score.lane && device === score.device && point === score.point,
  )!;
  const around = aroundOf(
    contact.segments,
    contact.segments.findIndex(
      ({ begun, begunBy }) => begun === score.day && begunBy === "cleaned",
    ),
  );
  const verdict =
    around.before === undefined || around.after === undefined
      ? "not to be judged"
      : !hadSomethingToCure(score)
        ? "nothing to cure"
        : `film ${percentText(score.film)}`;
  const where = placeName(contact, trend);
  const change = changeWords(around);
  return `  ${dayWords(score.day, year)}, ${where}: ${change}; ${verdict}${heldWords(score)}.`;
}

/** One contact's side of a replacement. */
interface Replaced extends Around {
  readonly contact: ContactTrend;
  readonly day: number;
}

/** Trouble in the new part first, then what was worst in the old one. */
const badness = ({ before, after }: Replaced): number =>
  (after !== undefined && foundTrouble(after) ? 2 : 0) + (before?.trouble ?? 0);

/** Of every replacement the contact that tells most, the latest first. */
function replacements(trend: PoolTrend): readonly Replaced[] {
  const worst = new Map<string, Replaced>();
  for (const contact of trend.contacts) {
    const body = bodyOf(contact, trend);
    contact.segments.forEach(({ begunBy, begun }, at) => {
      if (begunBy !== "replaced") return;
      // Whatever was done to the old part after it was last read, it is gone.
      const before = contact.segments.slice(0, at).flatMap(({ observations }) => observations);
      const { after } = aroundOf(contact.segments, at);
      const one = { contact, day: begun, before: before.at(-1), after };
      const key = JSON.stringify([begun, contact.point, body?.lane, body?.device]);
      const other = worst.get(key);
      if (other === undefined || badness(one) > badness(other)) worst.set(key, one);
    });
  }
  return [...worst.values()].toSorted((a, b) => b.day - a.day);
}

/** One line for each replacement: what the old part read, what the new one does. */
export const replacementLines = (trend: PoolTrend, year: number): readonly string[] =>
  replacements(trend).map((one) => {
    const { contact, day, after } = one;
    const verdict =
      after === undefined
        ? ""
        : foundTrouble(after)
          ? "; the new part reads low"
          : "; the new part reads well";
    const where = placeName(contact, trend);
    const change = changeWords(one);
    return `  ${dayWords(day, year)}, ${where}: ${change}${verdict}.`;
  });
