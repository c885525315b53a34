import { type Part, sparesOf } from "../domain/part.ts";
import { isOfDevice, isOfLane, type Lane } from "../domain/place.ts";
import type { DeviceState, Reason } from "../meet/device-state.ts";
import type { FixStep } from "../meet/fix-order.ts";
import type { NamedFix } from "../meet/lane-fixes.ts";
import { type LaneReady, waitingName } from "../meet/lane-ready.ts";
import type { Presses } from "../meet/presses.ts";
import type { MeetReady } from "../meet/ready.ts";
import { sentence } from "../words/figure-words.ts";
import { takeCare, type WorkStep } from "./cautions.ts";
import { circuitText, connectorName, percentText as percent, whoText } from "./names.ts";
import { mayBePad } from "./pad-lift.ts";
import { verdict } from "./pads-text.ts";
import { sinceWords } from "./touches-text.ts";
import { textOf } from "./wrap-text.ts";

const marks = { ready: "ready", watch: "WATCH", "not ready": "NOT READY" } as const;

/** Ready is what was read sound and pressed; what nobody pressed reads sound. */
const isPressed = ({ proof }: DeviceState): boolean => proof?.state === "proven";

/** `ready`, `reads sound`, `WATCH`, `NOT READY`. */
const markOf = ({ verdict, primary }: LaneReady): string =>
  verdict === "ready" && !isPressed(primary) ? "reads sound" : marks[verdict];

/** `3 ready, 2 read sound, not pressed, 1 to watch, 2 not ready`. */
export function countsText({ lanes, counts }: MeetReady): string {
  const pressed = lanes.filter((one) => one.verdict === "ready" && isPressed(one.primary)).length;
  const unpressed = counts.ready - pressed;
  return [
    ...(pressed > 0 || unpressed === 0 ? [`${pressed} ready`] : []),
    ...(unpressed > 0 ? [`${unpressed} read sound, not pressed`] : []),
    `${counts.watch} to watch`,
    `${counts["not ready"]} not ready`,
  ].join(", ");
}

/**
 * The meet morning in words.
 *
 * @param parts the register's lines; none where the facility keeps no register
 */
export function readyText(ready: MeetReady, parts: readonly Part[] = []): string {
  // What holds for every lane stands in the head, once.
  const isOneLanes = ready.lanes.some((lane) => isOfLane(lane) && !lane.padDue);
  const lines = [
    `${ready.pool}, meet of ${ready.date}: ${countsText(ready)}`,
    ready.walk === null
      ? "No walk was read: nothing is known."
      : `Newest walk: ${ready.walk}${ageWords(ready.walkAgeDays)}.`,
    ...(ready.touchesKnown
      ? []
      : ["No touch checks were given: what reads sound may still miss a touch."]),
    ...(ready.pads === null ? [] : [`Pads: ${verdict(ready.pads)}`]),
    "",
    ...ready.lanes.flatMap((lane) => laneLines(lane, isOneLanes)),
    "",
    ...planLines(ready),
    "",
    ...bagLines(ready, parts),
    "",
    "Which time counts when a pad and its backup disagree, or when a lane's timing fails, is for " +
      "the meet's own rules and its officials to say.",
    takeCare(...stepsOf(ready)),
  ];
  return textOf(lines);
}

function ageWords(days: number | null): string {
  if (days === null) return ", its day not known";
  if (days === 0) return ", the day of the meet";
  return days === 1 ? ", the day before" : `, ${days} days before`;
}

function laneLines(lane: LaneReady, saysPads: boolean): string[] {
  const reasons = [
    ...lane.primary.reasons.map((reason) => reasonWords(reason, lane.primary)),
    ...(lane.padDue && saysPads ? ["pads are due for readjustment"] : []),
  ];
  const words = lane.verdict === "ready" ? readyWords(lane.primary) : reasons.join("; ");
  const why = words === "" ? "" : `: ${words}`;
  return [
    `${sentence(whoText(lane.primary))}  ${markOf(lane)}  ${lane.primary.device}${why}`,
    ...(isOfLane(lane) ? [`        fall-back: ${fallBackWords(lane)}`] : []),
  ];
}

/** `read sound on 2026-06-12, pressed on 2026-06-13 by KM`: as far as the sheets tell. */
export function readyWords(state: DeviceState): string {
  const { missed, readOn } = state;
  const on = (day: string | null): string => (day === null ? "" : ` on ${day}`);
  if (missed === null || !isPressed(state)) return readOn === null ? "" : `read${on(readOn)}`;
  const by = missed.by.length === 0 ? "" : ` by ${missed.by.join(", ")}`;
  return `read sound${on(readOn)}, pressed${on(missed.latest)}${by}`;
}

/** Which backups of the lane can stand in, and why the others can't. */
export function fallBackWords({ backups }: LaneReady): string {
  if (backups.length === 0) return "the lane has no backup device";
  const good = backups.filter(({ state }) => state === "proven");
  const named = (states: readonly DeviceState[]): string =>
    states.map(({ device }) => device).join(", ");
  const pressed = alike(good.filter(isPressed), readyWords);
  const unpressed = good.filter((state) => !isPressed(state));
  const why = alike(
    backups.filter((one) => one.state !== "proven"),
    (state) => (state.reasons[0] === undefined ? "in doubt" : reasonWords(state.reasons[0], state)),
  );
  return [
    ...(good.length === 0 ? ["none to rely on"] : []),
    ...[...pressed].map(([words, states]) => `${named(states)} ready (${words})`),
    ...(unpressed.length > 0
      ? [`${named(unpressed)} read${unpressed.length === 1 ? "s" : ""} sound, not pressed`]
      : []),
    ...[...why].map(([words, states]) => `${named(states)}: ${words}`),
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
export function reasonWords(reason: Reason, state: DeviceState): string {
  switch (reason.kind) {
    case "path at fault":
      return `path at fault (${percent(reason.probability)}), most likely at the ${reason.point}`;
    case "path in doubt":
      return `path in doubt (${percent(reason.probability)} at fault), at the ${reason.point}`;
    case "stuck":
      return `switch looks stuck closed (${percent(reason.probability)})`;
    case "leaking":
      return `device or pod looks wet or leaking (${percent(reason.probability)})`;
    case "pad at fault":
      return (
        `missed ${reason.presses.events} of ${reason.presses.tried} fingertip presses` +
        `${sinceWords(reason.presses)}: ${padWords(reason.presses, state)} ` +
        `(${percent(reason.probability)})`
      );
    case "false touches":
      return (
        `${reason.presses.events} of ${reason.presses.tried} open-hand pushes registered ` +
        `(false touches, ${percent(reason.probability)})`
      );
    case "misses too much":
      return (
        `missed ${reason.presses.events} of ${reason.presses.tried} fingertip presses: too many ` +
        `(${percent(reason.probability)})`
      );
    case "not read":
      return "path not read";
    case "blind meter":
      return "read on a meter that can't see a fouled contact";
    case "walk too old":
      return `last read ${reason.days} days before the meet`;
    case "worked on since":
      return `${reason.point} worked on ${reason.day}, not read since`;
    case "not pressed":
      return "not pressed yet";
    case "press on":
      return reason.presses === null
        ? `misses too much to be proven (${percent(reason.probability)} good enough)`
        : `${reason.presses} more presses to prove it`;
  }
}

const padWords = ({ blame }: Presses, { device }: DeviceState): string =>
  blame.deadPlace === null
    ? `${device} or its plug at fault`
    : `${device} dead at one place, ${blame.deadPlace.place}`;

function planLines({ plan, fixes, lanes, minutesLeft }: MeetReady): string[] {
  const named = new Map(fixes.map((fix) => [fix.id, fix]));
  if (fixes.length === 0) return ["To put right: nothing."];
  const time = minutesLeft === null ? "" : ` in ${minutesLeft} minutes`;
  const lines = [
    `To put right${time}, most lanes ready per minute first ` +
      `(${plan.expectedReady.toFixed(1)} more lanes expected ready, ${Math.ceil(plan.minutes)} minutes):`,
    ...plan.steps.map(
      (step, i) => `${String(i + 1).padStart(3)}. ${stepWords(step, named, lanes)}`,
    ),
  ];
  const reached = new Set(plan.steps.flatMap((step) => step.makes));
  const waiting = lanes.filter(
    (lane) => lane.verdict !== "ready" && !reached.has(waitingName(lane)),
  );
  if (waiting.length > 0)
    lines.push(
      `     ${minutesLeft === null ? "Not made ready by any of this" : "No time for"}: ` +
        `${whoAll(waiting.map(waitingName), lanes)}.`,
    );
  lines.push(
    plan.exact
      ? "     No other choice within the time, and no other order, is better under these chances."
      : "     The choice within the time is the best there is; the order is a sound rule.",
  );
  return lines;
}

/** `lane 3, 5`, `lane 3 and start`. */
function whoAll(names: readonly Lane[], lanes: readonly LaneReady[]): string {
  const ofNone = new Set(lanes.filter((one) => !isOfLane(one)).map(waitingName));
  const own = names.filter((name) => !ofNone.has(name));
  const others = names.filter((name) => ofNone.has(name));
  return [...(own.length === 0 ? [] : [`lane ${own.join(", ")}`]), ...others].join(" and ");
}

function stepWords(
  step: FixStep,
  named: ReadonlyMap<string, NamedFix>,
  lanes: readonly LaneReady[],
): string {
  const fix = named.get(step.id);
  const makes = step.makes.length === 0 ? "" : `, then ready: ${whoAll(step.makes, lanes)}`;
  return (
    `${fixName(fix)}: ${minutesText(step.minutes)} (done at ${minutesText(step.done)}), ` +
    `chance ${percent(fix?.chance ?? 0)}${makes}`
  );
}

const minutesText = (minutes: number): string =>
  minutes < 10 ? `${minutes.toFixed(1)} min` : `${Math.round(minutes)} min`;

/** What a fix is called. */
export function fixName(fix: NamedFix | undefined): string {
  if (fix === undefined) return "";
  const { lane, device, end, connector } = fix;
  const circuit = circuitText({ lane, device: device ?? "", end });
  switch (fix.kind) {
    case "look":
      return `Look for the break in the ${connectorName({ ...fix, connector: connector ?? "" })}, push it home and read it`;
    case "clean":
      return `Clean the ${connectorName({ ...fix, connector: connector ?? "" })} and read it again`;
    case "replace":
      return `Replace the ${connectorName({ ...fix, connector: connector ?? "" })} and read it again`;
    case "read":
      return `Read every point of ${circuit}`;
    case "check pad":
      return `Change the plug of ${circuit} to the neighbour's lane and press; only if the misses go along, two people lift it`;
    case "dry device":
      return `Dry ${circuit} and its pod, then read again`;
    case "press":
      return `Press ${circuit} on`;
    case "pad strokes":
      return "Soak one pad (work on elsewhere meanwhile) and find its pump strokes";
    case "set pad":
      return `Two people: give the pad of lane ${lane} those strokes`;
  }
}

/** `, 2 in the register` behind a spare, where there is a register. */
export function stockWords(item: string, parts: readonly Part[]): string {
  if (parts.length === 0 || !item.startsWith("spare: ")) return "";
  return `, ${sparesOf(parts, item.slice("spare: ".length))} in the register`;
}

function bagLines({ bag }: MeetReady, parts: readonly Part[]): string[] {
  const unread =
    bag.unread === 0 ? "" : `; ${bag.unread} connectors unread, taken at the pool file's prior`;
  return [
    `To carry (everything together is enough with ${percent(bag.chanceEnough)}, asked ` +
      `${percent(bag.asked)}${unread}):`,
    ...bag.items.map(
      (item) =>
        `  ${String(item.carry).padStart(3)} × ${item.item} (needed at all: ` +
        `${percent(item.chanceNeeded)}${item.kind === "tool" ? "" : `; enough: ${percent(item.chanceEnough)}`})${stockWords(item.item, parts)}`,
    ),
  ];
}

function stepsOf({ fixes, plan }: MeetReady): WorkStep[] {
  const steps = new Set<WorkStep>(["measure"]);
  if (plan.steps.length > 0 && fixes.some((fix) => fix.kind === "clean")) steps.add("clean");
  if (plan.steps.length > 0 && fixes.some((fix) => fix.kind === "replace")) steps.add("replace");
  if (fixes.some((fix) => ["check pad", "pad strokes", "set pad"].includes(fix.kind)))
    steps.add("lift-pads");
  if (
    fixes.some(
      (fix) => ["clean", "replace"].includes(fix.kind) && isOfDevice(fix) && mayBePad(fix.device),
    )
  )
    steps.add("lift-pads");
  return [...steps];
}
