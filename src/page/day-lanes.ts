import { isOfLane } from "../domain/place.ts";
import { countsText, fallBackWords, fixName, reasonWords } from "../report/lane-words.ts";
import { counted, whoText } from "../report/names.ts";
import type { LaneReady, MeetReady } from "../rooms/meet-room.ts";
import { sentence } from "../words/figure-words.ts";
import { type Child, h } from "./element.ts";
import { type LaneSign, signDrawing } from "./lane-strip.ts";

const signOf: Readonly<Record<LaneReady["verdict"], LaneSign>> = {
  ready: "sound",
  watch: "again",
  "not ready": "weak",
};
const wordOf = { ready: "ready", watch: "watch", "not ready": "not ready" } as const;

/** `5 ready, 2 to watch, 1 not ready`, as the command says it. */
export const dayVerdict = (ready: MeetReady): string => `${sentence(countsText(ready))}.`;

/** The lanes that need something, each with its reason; the others in one line. */
export function laneViews(ready: MeetReady): readonly Child[] {
  const wanting = ready.lanes.filter(({ verdict }) => verdict !== "ready");
  const good = ready.lanes.filter(({ verdict }) => verdict === "ready");
  const proven = good.filter(({ primary }) => primary.proof?.state === "proven");
  const unpressed = good.filter(({ primary }) => primary.proof?.state !== "proven");
  const names = (lanes: readonly LaneReady[]): string =>
    lanes.map((one) => (isOfLane(one) ? String(one.lane) : one.primary.device)).join(", ");
  return [
    ...(proven.length === 0
      ? []
      : [plainLine("sound", `Ready, read and pressed: ${names(proven)}`)]),
    ...(unpressed.length === 0
      ? []
      : [plainLine("begun", `Reads sound, not pressed: ${names(unpressed)}`)]),
    wanting.length > 0 && h("ul", { class: "day-lanes" }, ...wanting.map(laneRow)),
  ];
}

const plainLine = (sign: LaneSign, words: string): HTMLElement =>
  h("p", { class: `day-good ${sign}` }, signDrawing(sign), h("span", {}, words));

function laneRow(lane: LaneReady): HTMLElement {
  const { primary, verdict } = lane;
  const reasons = primary.reasons.map((reason) => reasonWords(reason, primary));
  if (lane.padDue) reasons.push("pads are due for readjustment");
  return h(
    "li",
    { class: signOf[verdict] },
    signDrawing(signOf[verdict]),
    h(
      "div",
      {},
      h("strong", {}, `${sentence(whoText(primary))}: ${wordOf[verdict]}`),
      h("p", {}, sentence(`${primary.device} ${reasons.join("; ")}.`)),
      isOfLane(lane) &&
        lane.backups.length > 0 &&
        h("p", { class: "small" }, `Fall-back: ${fallBackWords(lane)}.`),
    ),
  );
}

/** What to put right, in the order that makes most lanes ready per minute. */
export function planView({ plan, fixes, minutesLeft }: MeetReady): readonly Child[] {
  if (fixes.length === 0) return [h("p", {}, "Nothing to put right.")];
  const named = new Map(fixes.map((fix) => [fix.id, fix]));
  const step = ({ id, minutes, makes }: MeetReady["plan"]["steps"][number]): HTMLElement =>
    h(
      "li",
      {},
      fixName(named.get(id)),
      h(
        "span",
        { class: "small" },
        ` ${counted(Math.max(1, Math.round(minutes)), "minute")}${makes.length === 0 ? "" : `; then ready: ${makes.join(", ")}`}`,
      ),
    );
  const left = fixes.length - plan.steps.length;
  return [
    h("ol", { class: "day-list" }, ...plan.steps.map(step)),
    left > 0 &&
      minutesLeft !== null &&
      h("p", { class: "small" }, `No time for ${counted(left, "more act")}.`),
  ];
}
