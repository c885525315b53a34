import { isOfLane } from "../domain/place.ts";
import { cautionsFor } from "../report/cautions.ts";
import { countsText, fallBackWords, fixName, reasonWords } from "../report/lane-words.ts";
import { counted, whoText } from "../report/names.ts";
import { stepsOfFix } from "../report/ready-text.ts";
import type { LaneReady, MeetReady } from "../rooms/meet-room.ts";
import { sentence } from "../words/figure-words.ts";
import { cautionLine } from "./card-view.ts";
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
    wanting.length > 0 && h("ul", { class: "day-lanes" }, ...laneRows(wanting)),
  ];
}

const plainLine = (sign: LaneSign, words: string): HTMLElement =>
  h("p", { class: `day-good ${sign}` }, signDrawing(sign), h("span", {}, words));

interface Row {
  readonly lane: LaneReady;
  readonly verdict: string;
  readonly why: string;
  readonly fallBack: string;
}

function rowOf(lane: LaneReady): Row {
  const { primary, verdict } = lane;
  const reasons = primary.reasons.map((reason) => reasonWords(reason, primary));
  if (lane.padDue) reasons.push("pads are due for readjustment");
  return {
    lane,
    verdict,
    why: sentence(`${primary.device} ${reasons.join("; ")}.`),
    fallBack: isOfLane(lane) && lane.backups.length > 0 ? `Fall-back: ${fallBackWords(lane)}.` : "",
  };
}

/** What is alike is said once. */
function groupedBy<T>(all: readonly T[], key: (one: T) => string): readonly (readonly T[])[] {
  const groups = new Map<string, T[]>();
  for (const one of all) groups.set(key(one), [...(groups.get(key(one)) ?? []), one]);
  return [...groups.values()];
}

/** Of lanes that have the same to say, all names; what is of no lane stands alone. */
const laneRows = (lanes: readonly LaneReady[]): readonly HTMLElement[] =>
  groupedBy(lanes.map(rowOf), ({ lane, verdict, why, fallBack }) =>
    JSON.stringify([isOfLane(lane) ? "" : whoText(lane.primary), verdict, why, fallBack]),
  ).map((rows) => {
    const [{ lane, why, fallBack }] = rows as readonly [Row, ...Row[]];
    const who =
      rows.length === 1
        ? sentence(whoText(lane.primary))
        : `Lanes ${rows.map((one) => one.lane.lane).join(", ")}`;
    return h(
      "li",
      { class: signOf[lane.verdict] },
      signDrawing(signOf[lane.verdict]),
      h(
        "div",
        {},
        h("strong", {}, `${who}: ${wordOf[lane.verdict]}`),
        h("p", {}, why),
        fallBack !== "" && h("p", { class: "small" }, fallBack),
      ),
    );
  });

type NamedFix = MeetReady["fixes"][number];
type Step = MeetReady["plan"]["steps"][number];

/** Presses that follow each other on such a device, lane after lane, are one line. */
function runsOf(steps: readonly Step[], fixOf: (step: Step) => NamedFix): readonly Step[][] {
  const runs: Step[][] = [];
  for (const step of steps) {
    const last = runs.at(-1);
    const before = last?.[0] && fixOf(last[0]);
    const fix = fixOf(step);
    const goesOn =
      fix.kind === "press" &&
      before?.kind === "press" &&
      before.device === fix.device &&
      before.end === fix.end;
    if (goesOn) last?.push(step);
    else runs.push([step]);
  }
  return runs;
}

/** What to put right, in the order that makes most lanes ready per minute, with what can hurt at its step. */
export function planView({ plan, fixes, minutesLeft, lanes }: MeetReady): readonly Child[] {
  if (fixes.length === 0) return [h("p", {}, "Nothing to put right.")];
  const named = new Map(fixes.map((fix) => [fix.id, fix]));
  const fixOf = ({ id }: Step): NamedFix => named.get(id)!;
  const along = (step: Step): number => lanes.findIndex(({ lane }) => lane === fixOf(step).lane);
  let said = "";
  const items = runsOf(plan.steps, fixOf).map((run) => {
    const [first, ...others] = run.toSorted((a, b) => along(a) - along(b)) as [Step, ...Step[]];
    const minutes = Math.max(1, Math.round(run.reduce((sum, step) => sum + step.minutes, 0)));
    const makes = [first, ...others].flatMap((step) => step.makes);
    const steps = stepsOfFix(fixOf(first));
    const isSaid = said === steps.join();
    said = steps.join();
    return h(
      "li",
      {},
      fixName(fixOf(first)),
      others.length > 0 && `; likewise lane ${others.map((step) => fixOf(step).lane).join(", ")}`,
      h(
        "span",
        { class: "small" },
        ` ${counted(minutes, "minute")}${makes.length === 0 ? "" : `; then ready: ${makes.join(", ")}`}`,
      ),
      isSaid ? null : cautionLine(cautionsFor(...steps), `plan ${said}`),
    );
  });
  const left = fixes.length - plan.steps.length;
  return [
    h("ol", { class: "day-list" }, ...items),
    left > 0 &&
      minutesLeft !== null &&
      h("p", { class: "small" }, `No time for ${counted(left, "more act")}.`),
  ];
}
