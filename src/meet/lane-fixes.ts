import { assumedAgeing } from "../domain/assumed-ageing.ts";
import type { Circuit, Connector } from "../domain/circuit.ts";
import { type Costs, connectorCosts } from "../domain/costs.ts";
import { courses } from "../domain/courses.ts";
import type { Decision } from "../domain/decision.ts";
import { mayBeBroken, SUSPECT } from "../domain/findings.ts";
import type { FixKind } from "../domain/fixes.ts";
import { type MeetSettings, meetSettings } from "../domain/meet.ts";
import {
  circuitKey,
  circuitName,
  circuitOf,
  connectorAt,
  isGroup,
  isOfLane,
  type Lane,
  type Place,
  sameCircuit,
  samePlace,
} from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { TouchCheck } from "../domain/touch.ts";
import type { CleaningRecord } from "../history/cleaning-record.ts";
import { type DeviceState, proofRule, type Reason } from "./device-state.ts";
import type { Fix, LaneNeed } from "./fix-order.ts";
import { type LaneReady, waitingName } from "./lane-ready.ts";
import { type Look, latestLook } from "./latest-look.ts";
import { suspectPoints } from "./path-at-fault.ts";
import { cures, unreadAtFault } from "./possible-repairs.ts";
import { ratePrior } from "./presses.ts";
import { missedRates } from "./touch-blame.ts";
import { type Proof, touchProof } from "./touch-proof.ts";
import { touchStates } from "./touch-states.ts";

/** A fix with what report/ needs to name it. */
export interface NamedFix extends Fix, Omit<Place, "point"> {
  readonly kind: FixKind;
  readonly connector: string | null;
  readonly point: string | null;
}

/** What is decided about one connector: the morning does that and nothing else to it. */
export type Decided = Pick<Decision, "place" | "action" | "replaceMinutes">;

/** Chance that a new connector puts its path right: judgement. */
const newIsGood = 0.98;
/** Chance that a look at a pad and its plug, or drying a device, puts it right: judgements. */
const padPutRight = 0.5;
const dried = 0.5;

/** What of the morning's input matters here. */
interface Known {
  readonly pool: Pool;
  readonly looks: readonly Look[];
  readonly touches: readonly TouchCheck[] | null;
  readonly record: CleaningRecord | null;
  readonly decided?: readonly Decided[];
}

interface Context {
  readonly pool: Pool;
  readonly costs: Costs;
  readonly settings: MeetSettings;
  readonly record: CleaningRecord | null;
  readonly looks: readonly Look[];
  readonly decided: readonly Decided[];
  readonly touchesKnown: boolean;
}

/** What each lane that is not ready needs, each thing once however many lanes wait for it. */
export function lanesToFix(
  lanes: readonly LaneReady[],
  { pool, record, looks, touches, decided = [] }: Known,
  costs: Costs,
): { fixes: NamedFix[]; needs: LaneNeed[] } {
  const settings = meetSettings(pool);
  const touchesKnown = touches !== null;
  const context = { pool, costs, settings, record, looks, decided, touchesKnown };
  const fixes = new Map<string, NamedFix>();
  const needs = lanes
    .filter((lane) => lane.verdict !== "ready")
    .map((lane) => {
      const needed = [
        ...lane.primary.reasons.flatMap((reason) => fixesFor(reason, lane.primary, context)),
        ...pressesAfterRepair(lane.primary, context),
        ...(lane.padDue && isOfLane(lane) ? padFixes(lane.lane, context.settings) : []),
      ];
      // What is pressed before the pad is set would have to be pressed again.
      const isPress = ({ kind }: NamedFix): boolean => kind === "press";
      const wanted = [...needed.filter((fix) => !isPress(fix)), ...needed.filter(isPress)];
      for (const fix of wanted) if (!fixes.has(fix.id)) fixes.set(fix.id, fix);
      return { lane: waitingName(lane), fixes: [...new Set(wanted.map((fix) => fix.id))] };
    });
  return { fixes: [...fixes.values()], needs };
}

function fixesFor(reason: Reason, state: DeviceState, context: Context): NamedFix[] {
  const { settings } = context;
  const own = ofDevice(state);
  switch (reason.kind) {
    case "path at fault":
      return repairs(state, context);
    case "walk too old":
      // What is put right is read again, whatever it read before.
      if (state.reasons.some(({ kind }) => kind === "path at fault")) return [];
      return [readingAsItStands(state, context)];
    case "path in doubt":
    case "not read":
    case "blind meter":
      return [readingAsItStands(state, context)];
    case "worked on since":
      return [reading(state, context, curedAt(reason.point, state, context))];
    case "stuck":
    case "leaking":
      return [named("dry device", own, settings.padMinutes, dried)];
    case "pad at fault":
    case "false touches":
      return [named("check pad", own, settings.padMinutes, padPutRight)];
    case "misses too much":
      return reason.presses.blame.pathAtFault > reason.presses.blame.padAtFault
        ? repairs(state, context)
        : [named("check pad", own, settings.padMinutes, padPutRight)];
    case "not pressed": {
      const states = touchStates(
        [],
        state.pathAtFault ?? unreadAtFault(context.pool, pathOf(state, context)),
        settings.touch.padAtFault,
        missedRates,
      );
      return [
        pressing(state, touchProof(ratePrior(settings), proofRule(settings), states), settings),
      ];
    }
    case "press on":
      return state.proof === null ? [] : [pressing(state, state.proof, settings)];
  }
}

/** A device that was mended is pressed anew, as one that has nothing wrong with it. */
function pressesAfterRepair(state: DeviceState, { settings, touchesKnown }: Context): NamedFix[] {
  if (!touchesKnown || state.state !== "at fault") return [];
  const states = [{ weight: 1, rate: missedRates.neither }];
  return [pressing(state, touchProof(ratePrior(settings), proofRule(settings), states), settings)];
}

/** Pressing on until the pad is proven; a pad that no count of presses can prove has no chance. */
function pressing(state: DeviceState, proof: Proof, settings: MeetSettings): NamedFix {
  const presses = proof.pressesIfAllRegister ?? proof.pressLimit;
  const minutes = (presses * settings.pressSeconds) / 60;
  return named("press", ofDevice(state), minutes, proof.chanceAllRegister ?? 0);
}

/** The connectors of this path that are more likely faulty than not, or else the likeliest one. */
function faultyLinks(state: DeviceState, context: Context): Connector[] {
  const circuit = pathOf(state, context);
  const look = latestLook(context.looks, circuit);
  const points = look === null ? [] : suspectPoints(look.diagnosis, circuit);
  return circuit.path.flatMap(({ point, connector }) =>
    points.includes(point) ? [connector] : [],
  );
}

/**
 * What each connector at fault needs: what is decided about it. Where nothing is decided, what is no
 * suspect is read, and a suspect of an earlier walk is looked at or cleaned.
 */
const repairs = (state: DeviceState, context: Context): NamedFix[] =>
  faultyLinks(state, context).map((link) => repair(link, state, context));

function repair(link: Connector, state: DeviceState, context: Context): NamedFix {
  const decision = context.decided.find(({ place }) => samePlace(place, link.place));
  if (decision === undefined) return undecided(link, state, context);
  switch (courses[decision.action].fix) {
    case "look":
      return looking(link, context);
    case "read":
      return reading(state, context, 1 - (state.pathAtFault ?? 0));
    case "replace": {
      const where = { ...link.place, connector: link.name };
      return named("replace", where, decision.replaceMinutes, newIsGood);
    }
    case "clean":
      return cleaning(link, context);
  }
}

function undecided(link: Connector, state: DeviceState, context: Context): NamedFix {
  const look = latestLook(context.looks, pathOf(state, context));
  const found = look?.diagnosis.connectors.find((one) => samePlace(one, link.place));
  if (found !== undefined && found.atFault < SUSPECT)
    return reading(state, context, 1 - (state.pathAtFault ?? 0));
  return isBroken(link, state, context) ? looking(link, context) : cleaning(link, context);
}

/** Is this device's contact there likelier open than anything else? */
function isBroken({ place }: Connector, state: DeviceState, context: Context): boolean {
  const circuit = pathOf(state, context);
  const own = latestLook(context.looks, circuit)?.diagnosis.contacts.find(
    (one) => one.point === place.point && sameCircuit(one, circuit),
  );
  return own !== undefined && mayBeBroken(own);
}

function looking({ name, place }: Connector, { costs }: Context): NamedFix {
  const mends = 1 - assumedAgeing.staysReseated.value;
  return named("look", { ...place, connector: name }, costs.lookMinutes, mends);
}

function cleaning({ name, place }: Connector, { costs, record }: Context): NamedFix {
  const { cleanMinutes } = connectorCosts(costs, place);
  return named("clean", { ...place, connector: name }, cleanMinutes, cures(record, place));
}

/** Reading every point of one device: it proves the path if the path is good. */
function reading(state: DeviceState, context: Context, chance: number): NamedFix {
  const { seconds, openedPoints } = context.settings;
  const { path } = pathOf(state, context);
  const opened = path.filter(({ point }) => openedPoints.includes(point)).length;
  const minutes =
    (path.length * seconds.reading + opened * seconds.plateOpening + seconds.laneWalk) / 60;
  return named("read", ofDevice(state), minutes, chance);
}

/** Reading the path as it stands: it is good where it was good. */
const readingAsItStands = (state: DeviceState, context: Context): NamedFix =>
  reading(
    state,
    context,
    1 - (state.pathAtFault ?? unreadAtFault(context.pool, pathOf(state, context))),
  );

function curedAt(point: string, state: DeviceState, context: Context): number {
  const own = { ...ofDevice(state), point };
  return cures(context.record, connectorAt(pathOf(state, context), point)?.place ?? own);
}

/** Strokes are found on one pad after a soak, and then given to every pad. */
function padFixes(lane: Lane, { pads, padMinutes }: MeetSettings): NamedFix[] {
  const nobody: Where = { ...noPlace, lanes: [], sharing: "pool" };
  return [
    named("pad strokes", nobody, (pads.soakMinutes ?? 0) + padMinutes, 1),
    named("set pad", { ...nobody, lane, lanes: [lane], sharing: "lane" }, padMinutes, 1),
  ];
}

/** The circuit that a device is on. */
function pathOf(state: DeviceState, { pool }: Context): Circuit {
  const circuit = circuitOf(pool, state);
  if (circuit === undefined) throw new Error(`pool has no circuit ${circuitKey(state)}`);
  return circuit;
}

type Where = Omit<NamedFix, keyof Fix | "kind">;

const noPlace = { lane: null, device: null, end: null, connector: null, point: null } as const;

const ofDevice = (state: DeviceState): Where => ({
  ...noPlace,
  ...circuitName(state),
  lanes: isOfLane(state) ? [state.lane] : [],
  sharing: "device",
});

function named(kind: NamedFix["kind"], where: Where, minutes: number, chance: number): NamedFix {
  const { lane, device, end, point, lanes } = where;
  const group = isGroup(where) ? lanes.join(", ") : null;
  const id = [kind, lane, group, device, end, point].filter((x) => x !== null).join(" / ");
  return { id, kind, ...where, minutes, chance };
}
