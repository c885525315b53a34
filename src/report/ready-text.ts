import { fixes as workOf } from "../domain/fixes.ts";
import { type Part, sparesOf } from "../domain/part.ts";
import { isOfDevice, isOfLane, type Lane } from "../domain/place.ts";
import type { WorkStep } from "../domain/work.ts";
import type { DeviceState, Reason } from "../meet/device-state.ts";
import type { FixStep } from "../meet/fix-order.ts";
import type { NamedFix } from "../meet/lane-fixes.ts";
import { type LaneReady, waitingName } from "../meet/lane-ready.ts";
import type { MeetReady } from "../meet/ready.ts";
import { sentence } from "../words/figure-words.ts";
import { type Language, wordsIn } from "../words/language.ts";
import type { ReadyMark } from "../words/ready-words.ts";
import type { Words } from "../words/words.ts";
import { briefCautions } from "./cautions.ts";
import { mayBePad } from "./pad-lift.ts";
import { padsTold } from "./pads-told.ts";
import { textOf } from "./wrap-text.ts";

const marks = { ready: "ready", watch: "watch", "not ready": "not-ready" } as const;

/** Ready is what was read sound and pressed; what nobody pressed reads sound. */
const isPressed = ({ proof }: DeviceState): boolean => proof?.state === "proven";

const markOf = ({ verdict, primary }: LaneReady): ReadyMark =>
  verdict === "ready" && !isPressed(primary) ? "reads-sound" : marks[verdict];

/** `3 ready, 2 read sound, not pressed, 1 to watch, 2 not ready`. */
export function countsTold({ lanes, counts }: MeetReady, { ready: say }: Words): string {
  const pressed = lanes.filter((one) => one.verdict === "ready" && isPressed(one.primary)).length;
  const unpressed = counts.ready - pressed;
  return [
    ...(pressed > 0 || unpressed === 0 ? [say.counts.ready(pressed)] : []),
    ...(unpressed > 0 ? [say.counts["reads-sound"](unpressed)] : []),
    say.counts.watch(counts.watch),
    say.counts["not-ready"](counts["not ready"]),
  ].join(", ");
}

/**
 * The meet morning in words.
 *
 * @param parts the register's lines; none where the facility keeps no register
 */
export function readyText(
  ready: MeetReady,
  parts: readonly Part[] = [],
  language: Language = "en",
): string {
  const words = wordsIn(language);
  const { ready: say } = words;
  // What holds for every lane stands in the head, once.
  const isOneLanes = ready.lanes.some((lane) => isOfLane(lane) && !lane.padDue);
  const lines = [
    say.head(ready.pool, ready.date, countsTold(ready, words)),
    ready.walk === null ? say.noWalk : say.newest(ready.walk, ready.walkAgeDays),
    ...(ready.touchesKnown ? [] : [say.noTouches]),
    ...(ready.pads === null ? [] : [say.pads.title(padsTold(ready.pads, words))]),
    "",
    ...ready.lanes.flatMap((lane) => laneLines(lane, isOneLanes, words)),
    "",
    ...planLines(ready, words),
    "",
    ...bagLines(ready, parts, words),
    "",
    say.rules,
    briefCautions(words.cautions, "any", ...stepsOf(ready)),
  ];
  return textOf(lines);
}

function laneLines(lane: LaneReady, saysPads: boolean, words: Words): string[] {
  const { ready: say, places } = words;
  const reasons = [
    ...lane.primary.reasons.map((reason) => reasonTold(reason, lane.primary, words)),
    ...(lane.padDue && saysPads ? [say.padsDue] : []),
  ];
  const told = lane.verdict === "ready" ? readyTold(lane.primary, words) : reasons.join("; ");
  const why = told === "" ? "" : `: ${told}`;
  const who = sentence(places.who(lane.primary));
  return [
    `${who}  ${say.marks[markOf(lane)]}  ${lane.primary.device}${why}`,
    ...(isOfLane(lane) ? [`        ${say.fallBack(fallBackTold(lane, words))}`] : []),
  ];
}

/** `read sound on 2026-06-12, pressed on 2026-06-13 by KM`: as far as the sheets tell. */
function readyTold(state: DeviceState, { ready: say }: Words): string {
  const { missed, readOn } = state;
  if (missed === null || !isPressed(state)) return readOn === null ? "" : say.read(readOn);
  return say.pressed(readOn, missed.latest, missed.by);
}

/** Which backups of the lane can stand in, and why the others can't. */
export function fallBackTold({ backups }: LaneReady, words: Words): string {
  const { ready: say } = words;
  if (backups.length === 0) return say.noBackup;
  const good = backups.filter(({ state }) => state === "proven");
  const named = (states: readonly DeviceState[]): readonly string[] =>
    states.map(({ device }) => device);
  const pressed = alike(good.filter(isPressed), (state) => readyTold(state, words));
  const unpressed = good.filter((state) => !isPressed(state));
  const why = alike(
    backups.filter((one) => one.state !== "proven"),
    (state) =>
      state.reasons[0] === undefined ? say.inDoubt : reasonTold(state.reasons[0], state, words),
  );
  return [
    ...(good.length === 0 ? [say.noneToRelyOn] : []),
    ...[...pressed].map(([told, states]) => say.backupsReady(named(states), told)),
    ...(unpressed.length > 0 ? [say.backupsUnpressed(named(unpressed))] : []),
    ...[...why].map(([told, states]) => `${named(states).join(", ")}: ${told}`),
  ].join("; ");
}

/** States of which the same is said, together. */
function alike(
  states: readonly DeviceState[],
  say: (state: DeviceState) => string,
): ReadonlyMap<string, readonly DeviceState[]> {
  const groups = new Map<string, DeviceState[]>();
  for (const state of states) groups.set(say(state), [...(groups.get(say(state)) ?? []), state]);
  return groups;
}

/** One reason in words. */
export function reasonTold(
  reason: Reason,
  { device }: DeviceState,
  { ready: { reasons: say } }: Words,
): string {
  switch (reason.kind) {
    case "path at fault":
    case "path in doubt":
      return say[reason.kind](reason);
    case "stuck":
    case "leaking":
      return say[reason.kind](reason);
    case "pad at fault": {
      const { presses, probability } = reason;
      const { events, tried, since, blame } = presses;
      const deadPlace = blame.deadPlace?.place ?? null;
      return say["pad at fault"]({ events, tried, since, device, deadPlace, probability });
    }
    case "false touches":
    case "misses too much":
      return say[reason.kind]({ ...reason.presses, probability: reason.probability });
    case "not read":
    case "blind meter":
    case "not pressed":
      return say[reason.kind]();
    case "walk too old":
      return say[reason.kind](reason.days);
    case "worked on since":
      return say[reason.kind](reason.point, reason.day);
    case "press on":
      return say[reason.kind](reason.presses, reason.probability);
  }
}

function planLines({ plan, fixes, lanes, minutesLeft }: MeetReady, words: Words): string[] {
  const { ready: say } = words;
  const named = new Map(fixes.map((fix) => [fix.id, fix]));
  if (fixes.length === 0) return [say.nothingToDo];
  const lines = [
    say.toDo(minutesLeft, plan.expectedReady, plan.minutes),
    ...plan.steps.map(
      (step, i) => `${String(i + 1).padStart(3)}. ${stepWords(step, named, lanes, words)}`,
    ),
  ];
  const reached = new Set(plan.steps.flatMap((step) => step.makes));
  const waiting = lanes.filter(
    (lane) => lane.verdict !== "ready" && !reached.has(waitingName(lane)),
  );
  if (waiting.length > 0) {
    const who = whoAll(waiting.map(waitingName), lanes, words);
    lines.push(`     ${say.waiting(who, minutesLeft !== null)}`);
  }
  lines.push(`     ${plan.exact ? say.exact : say.roughly}`);
  return lines;
}

/** `lane 3, 5`, `lane 3 and start`. */
function whoAll(
  names: readonly Lane[],
  lanes: readonly LaneReady[],
  { ready: say }: Words,
): string {
  const ofNone = new Set(lanes.filter((one) => !isOfLane(one)).map(waitingName));
  return say.lanesAnd(
    names.filter((name) => !ofNone.has(name)),
    names.filter((name) => ofNone.has(name)).map(String),
  );
}

function stepWords(
  { id, minutes, done, makes }: FixStep,
  named: ReadonlyMap<string, NamedFix>,
  lanes: readonly LaneReady[],
  words: Words,
): string {
  const fix = named.get(id);
  return words.ready.step({
    ...{ minutes, done, fix: fixTold(fix, words), chance: fix?.chance ?? 0 },
    makes: makes.length === 0 ? "" : whoAll(makes, lanes, words),
  });
}

/** What a fix is called. */
export function fixTold(fix: NamedFix | undefined, { ready: say }: Words): string {
  if (fix === undefined) return "";
  const { lane, device, end, connector } = fix;
  return say.fixes[fix.kind]({
    circuit: { lane, device: device ?? "", end },
    place: { ...fix, connector: connector ?? "" },
  });
}

/** How many the register has of a spare; null where nobody keeps one, or for no spare. */
export const inRegister = (item: string, parts: readonly Part[]): number | null =>
  parts.length === 0 || !item.startsWith("spare: ")
    ? null
    : sparesOf(parts, item.slice("spare: ".length));

function bagLines({ bag }: MeetReady, parts: readonly Part[], { ready: say }: Words): string[] {
  const left = bag.items.filter(({ carry }) => carry === 0);
  const most = Math.max(...left.map(({ chanceNeeded }) => chanceNeeded));
  const names = left.map(({ item }) => item);
  return [
    say.toCarry(bag.chanceEnough, bag.asked, bag.unread),
    ...carriedLines(bag, parts, say),
    ...(left.length === 0 ? [] : [`    ${say.leftAtHome(names, most)}`]),
  ];
}

const carriedLines = (
  { items }: MeetReady["bag"],
  parts: readonly Part[],
  say: Words["ready"],
): readonly string[] =>
  items
    .filter(({ carry }) => carry > 0)
    .map(({ item, kind, carry, chanceNeeded, chanceEnough }) => {
      const told = say.item({
        ...{ item, needed: chanceNeeded, enough: kind === "tool" ? null : chanceEnough },
        inRegister: inRegister(item, parts),
      });
      return `  ${String(carry).padStart(3)} × ${told}`;
    });

/** Is anything opened for it? */
const isOpened = ({ kind }: NamedFix): boolean =>
  (workOf[kind] as readonly WorkStep[]).some((step) => step !== "lift-pads");

/** What its cautions go by. */
export function stepsOfFix(fix: NamedFix): readonly WorkStep[] {
  const own: readonly WorkStep[] = workOf[fix.kind];
  return isOpened(fix) && isOfDevice(fix) && mayBePad(fix.device) ? [...own, "lift-pads"] : own;
}

function stepsOf({ fixes, plan }: MeetReady): WorkStep[] {
  const steps = fixes.flatMap((fix): readonly WorkStep[] =>
    isOpened(fix) && plan.steps.length === 0
      ? stepsOfFix(fix).filter((step) => step === "lift-pads")
      : stepsOfFix(fix),
  );
  return [...new Set<WorkStep>(["measure", ...steps])];
}
