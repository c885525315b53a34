import type { Lane } from "../domain/place.ts";
import { englishFigures as figures } from "./english-figures.ts";
import { englishPlaces as places } from "./english-places.ts";
import { inLine } from "./place-words.ts";
import type { MissesSince, ReadyWords } from "./ready-words.ts";

const { percent } = figures;

const minutesText = (minutes: number): string =>
  minutes < 10 ? `${figures.decimal(minutes, 1)} min` : `${Math.round(minutes)} min`;

/** ` since 2026-06-13, heat 4`: where it missed nothing to speak of before. */
export function englishSince(since: MissesSince | null): string {
  if (since === null) return "";
  const heat = since.heat === null ? null : `heat ${since.heat.replace(/^heat\s+/i, "")}`;
  const words = [since.day, heat].filter((one) => one !== null).join(", ");
  return words === "" ? " since the latest check" : ` since ${words}`;
}

const on = (day: string | null): string => (day === null ? "" : ` on ${day}`);

function ageText(days: number | null): string {
  if (days === null) return ", its day not known";
  if (days === 0) return ", the day of the meet";
  return days === 1 ? ", the day before" : `, ${days} days before`;
}

const lanesText = (lanes: readonly Lane[]): string => `lane ${lanes.map(inLine).join(", ")}`;

/** The morning of a meet in English. */
export const englishReady: ReadyWords = {
  head: (pool, date, counts) => `${pool}, meet of ${date}: ${counts}`,
  counts: {
    ready: (count) => `${count} ready`,
    "reads-sound": (count) => `${count} read sound, not pressed`,
    watch: (count) => `${count} to watch`,
    "not-ready": (count) => `${count} not ready`,
  },
  noWalk: "No walk was read: nothing is known.",
  newest: (walk, days) => `Newest walk: ${walk}${ageText(days)}.`,
  noTouches: "No touch checks were given: what reads sound may still miss a touch.",
  pads: {
    title: (verdict) => `Pads: ${verdict}`,
    noLog: "no water temperature is logged, so nothing can be said about the pads.",
    neverAdjusted: "no adjustment after a full soak is logged: adjust the pads.",
    unknownDegrees: (change) =>
      `the water changed by ${change} since the pads were adjusted; how much of a ` +
      "change matters is not in the pool file (meet: readjust_degrees, as the pads' maker says).",
    due: (change, at) =>
      `the pads are DUE: the water changed by ${change} since they were adjusted (due at ${at}).`,
    fine: (change, at) =>
      `the pads are fine: the water changed by ${change} since they were adjusted${at === null ? "" : ` (due at ${at})`}.`,
  },
  padsDue: "pads are due for readjustment",
  marks: { ready: "ready", "reads-sound": "reads sound", watch: "WATCH", "not-ready": "NOT READY" },
  fallBack: (words) => `fall-back: ${words}`,
  read: (day) => `read${on(day)}`,
  pressed: (readOn, pressedOn, by) =>
    `read sound${on(readOn)}, pressed${on(pressedOn)}${by.length === 0 ? "" : ` by ${by.join(", ")}`}`,
  noBackup: "the lane has no backup device",
  noneToRelyOn: "none to rely on",
  backupsReady: (devices, words) => `${devices.join(", ")} ready (${words})`,
  backupsUnpressed: (devices) =>
    `${devices.join(", ")} read${devices.length === 1 ? "s" : ""} sound, not pressed`,
  inDoubt: "in doubt",
  reasons: {
    "path at fault": ({ probability, point }) =>
      `path at fault (${percent(probability)}), most likely at the ${point}`,
    "path in doubt": ({ probability, point }) =>
      `path in doubt (${percent(probability)} at fault), at the ${point}`,
    stuck: ({ probability }) => `switch looks stuck closed (${percent(probability)})`,
    leaking: ({ probability }) => `device or pod looks wet or leaking (${percent(probability)})`,
    "pad at fault": ({ events, tried, since, device, deadPlace, probability }) =>
      `missed ${events} of ${tried} fingertip presses${englishSince(since)}: ` +
      `${deadPlace === null ? `${device} or its plug at fault` : `${device} dead at one place, ${deadPlace}`} ` +
      `(${percent(probability)})`,
    "false touches": ({ events, tried, probability }) =>
      `${events} of ${tried} open-hand pushes registered (false touches, ${percent(probability)})`,
    "misses too much": ({ events, tried, probability }) =>
      `missed ${events} of ${tried} fingertip presses: too many (${percent(probability)})`,
    "not read": () => "path not read",
    "blind meter": () => "read on a meter that can't see a fouled contact",
    "walk too old": (days) => `last read ${days} days before the meet`,
    "worked on since": (point, day) => `${point} worked on ${day}, not read since`,
    "not pressed": () => "not pressed yet",
    "press on": (presses, probability) =>
      presses === null
        ? `misses too much to be proven (${percent(probability)} good enough)`
        : `${presses} more presses to prove it`,
  },
  nothingToDo: "To put right: nothing.",
  toDo: (minutesLeft, more, minutes) =>
    `To put right${minutesLeft === null ? "" : ` in ${minutesLeft} minutes`}, most lanes ready per minute first ` +
    `(${figures.decimal(more, 1)} more lanes expected ready, ${Math.ceil(minutes)} minutes):`,
  waiting: (who, isForTime) =>
    `${isForTime ? "No time for" : "Not made ready by any of this"}: ${who}.`,
  exact: "No other choice within the time, and no other order, is better under these chances.",
  roughly: "The choice within the time is the best there is; the order is a sound rule.",
  lanesAnd: (lanes, others) =>
    [...(lanes.length === 0 ? [] : [lanesText(lanes)]), ...others].join(" and "),
  step: ({ fix, minutes, done, chance, makes }) =>
    `${fix}: ${minutesText(minutes)} (done at ${minutesText(done)}), ` +
    `chance ${percent(chance)}${makes === "" ? "" : `, then ready: ${makes}`}`,
  fixes: {
    look: ({ place }) =>
      `Look for the break in the ${places.connector(place)}, push it home and read it`,
    clean: ({ place }) => `Clean the ${places.connector(place)} and read it again`,
    replace: ({ place }) => `Replace the ${places.connector(place)} and read it again`,
    read: ({ circuit }) => `Read every point of ${places.circuit(circuit)}`,
    "check pad": ({ circuit }) =>
      `Change the plug of ${places.circuit(circuit)} to the neighbour's lane and press; only if the misses go along, two people lift it`,
    "dry device": ({ circuit }) => `Dry ${places.circuit(circuit)} and its pod, then read again`,
    press: ({ circuit }) => `Press ${places.circuit(circuit)} on`,
    "pad strokes": () => "Soak one pad (work on elsewhere meanwhile) and find its pump strokes",
    "set pad": ({ place }) => `Two people: give the pad of lane ${place.lane} those strokes`,
  },
  toCarry: (enough, asked, unread) =>
    `To carry (everything together is enough with ${percent(enough)}, asked ${percent(asked)}` +
    `${unread === 0 ? "" : `; ${unread} connectors unread, taken at the pool file's prior`}):`,
  item: ({ item, needed, enough, inRegister }) =>
    `${item} (needed at all: ${percent(needed)}${enough === null ? "" : `; enough: ${percent(enough)}`})` +
    `${inRegister === null ? "" : `, ${inRegister} in the register`}`,
  leftAtHome: (items, needed) =>
    `Left at home: ${items.map((item) => item.replace(/^spare: /, "spare ")).join(", ")} ` +
    `(each needed with ${percent(needed)} at most).`,
  rules:
    "Which time counts when a pad and its backup disagree, or when a lane's timing fails, is for " +
    "the meet's own rules and its officials to say.",
};
