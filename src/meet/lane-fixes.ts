import type { Costs } from "../domain/costs.ts";
import type { MeetSettings } from "../domain/meet.ts";
import type { ChainLink, Lane, Pool } from "../domain/pool.ts";
import type { TouchCheck } from "../domain/touch.ts";
import type { CleaningRecord } from "../history/cleaning-record.ts";
import { type DeviceState, proofRule, type Reason } from "./device-state.ts";
import type { Fix, LaneNeed } from "./fix-order.ts";
import type { LaneReady } from "./lane-ready.ts";
import { type Look, latestLook } from "./latest-look.ts";
import { cures, unreadAtFault } from "./possible-repairs.ts";
import { ratePrior, settingsOf } from "./presses.ts";
import { missedRates, stateRates, touchBlame } from "./touch-blame.ts";
import { type Proof, touchProof } from "./touch-proof.ts";

/** A fix with what report/ needs to name it. */
export interface NamedFix extends Fix {
  readonly kind:
    | "clean"
    | "read"
    | "check pad"
    | "dry device"
    | "press"
    | "pad strokes"
    | "set pad";
  readonly connector: string | null;
  readonly point: string | null;
  readonly lane: Lane | null;
  readonly device: string | null;
}

/** Chance that a look at a pad and its plug, or drying a device, puts it right: judgements. */
const padPutRight = 0.5;
const dried = 0.5;

/** What of the morning's input matters here. */
interface Known {
  readonly pool: Pool;
  readonly looks: readonly Look[];
  readonly touches: readonly TouchCheck[] | null;
  readonly record: CleaningRecord | null;
}

interface Context {
  readonly pool: Pool;
  readonly costs: Costs;
  readonly settings: MeetSettings;
  readonly record: CleaningRecord | null;
  readonly looks: readonly Look[];
  readonly touchesKnown: boolean;
}

/** What each lane that is not ready needs, each thing once however many lanes wait for it. */
export function lanesToFix(
  lanes: readonly LaneReady[],
  { pool, record, looks, touches }: Known,
  costs: Costs,
): { fixes: NamedFix[]; needs: LaneNeed[] } {
  const settings = settingsOf(pool);
  const context = { pool, costs, settings, record, looks, touchesKnown: touches !== null };
  const fixes = new Map<string, NamedFix>();
  const needs = lanes
    .filter((lane) => lane.verdict !== "ready")
    .map((lane) => {
      const repairs = [
        ...lane.primary.reasons.flatMap((reason) => fixesFor(reason, lane.primary, context)),
        ...pressesAfterRepair(lane.primary, context),
        ...(lane.padDue ? padFixes(lane.lane, context.settings) : []),
      ];
      // What is pressed before the pad is set would have to be pressed again.
      const isPress = ({ kind }: NamedFix): boolean => kind === "press";
      const wanted = [...repairs.filter((fix) => !isPress(fix)), ...repairs.filter(isPress)];
      for (const fix of wanted) if (!fixes.has(fix.id)) fixes.set(fix.id, fix);
      return { lane: lane.lane, fixes: [...new Set(wanted.map((fix) => fix.id))] };
    });
  return { fixes: [...fixes.values()], needs };
}

function fixesFor(reason: Reason, state: DeviceState, context: Context): NamedFix[] {
  const { settings } = context;
  const { lane, device } = state;
  const own = { lane, device, connector: null, point: null };
  switch (reason.kind) {
    case "path at fault":
      return [...faultyLinks(state, context).map((link) => cleaning(link, state, context))];
    case "path in doubt":
    case "not read":
    case "blind meter":
    case "walk too old":
      return [reading(state, context, 1 - (state.pathAtFault ?? unreadAtFault(context.pool)))];
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
        ? faultyLinks(state, context).map((link) => cleaning(link, state, context))
        : [named("check pad", own, settings.padMinutes, padPutRight)];
    case "not pressed": {
      const blame = touchBlame(
        { events: 0, tried: 0 },
        state.pathAtFault ?? unreadAtFault(context.pool),
        settings.touch.padAtFault,
      );
      const states = stateRates(blame, { events: 0, tried: 0 });
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
function pressing({ lane, device }: DeviceState, proof: Proof, settings: MeetSettings): NamedFix {
  const presses = proof.pressesIfAllRegister ?? proof.pressLimit;
  const minutes = (presses * settings.pressSeconds) / 60;
  const where = { lane, device, connector: null, point: null };
  return named("press", where, minutes, proof.chanceAllRegister ?? 0);
}

/** The connectors of this path that are more likely faulty than not, or else the likeliest one. */
function faultyLinks(state: DeviceState, { pool, looks }: Context): ChainLink[] {
  const { lane, device } = state;
  const own = (latestLook(looks, state)?.diagnosis.contacts ?? []).filter(
    (c) => c.lane === lane && c.device === device,
  );
  const bad = own.filter((contact) => contact.sound < 0.5);
  const worst = [...own].sort((a, b) => a.sound - b.sound).slice(0, 1);
  const points = (bad.length > 0 ? bad : worst).map((contact) => contact.point);
  return pool.chain.filter((link) => points.includes(link.point));
}

function cleaning(link: ChainLink, state: DeviceState, { costs, record }: Context): NamedFix {
  const lane = link.sharedBy === "pool" ? null : state.lane;
  const device = link.sharedBy === "device" ? state.device : null;
  const { connector, point } = link;
  const minutes = costs.connectors[point]?.cleanMinutes ?? 12;
  const chance = cures(record, point, lane, device);
  return named("clean", { lane, device, connector, point }, minutes, chance);
}

/** Reading every point of one device: it proves the path if the path is good. */
function reading(
  { lane, device }: DeviceState,
  { pool, settings }: Context,
  chance: number,
): NamedFix {
  const { seconds, openedPoints } = settings;
  const opened = pool.chain.filter((link) => openedPoints.includes(link.point)).length;
  const minutes =
    (pool.chain.length * seconds.reading + opened * seconds.plateOpening + seconds.laneWalk) / 60;
  return named("read", { lane, device, connector: null, point: null }, minutes, chance);
}

function curedAt(point: string, state: DeviceState, { pool, record }: Context): number {
  const link = pool.chain.find((one) => one.point === point);
  const lane = link?.sharedBy === "pool" ? null : state.lane;
  const device = link?.sharedBy === "device" ? state.device : null;
  return cures(record, point, lane, device);
}

/** Strokes are found on one pad after a soak, and then given to every pad. */
function padFixes(lane: Lane, { pads, padMinutes }: MeetSettings): NamedFix[] {
  const nobody = { lane: null, device: null, connector: null, point: null };
  return [
    named("pad strokes", nobody, pads.soakMinutes + padMinutes, 1),
    named("set pad", { ...nobody, lane }, padMinutes, 1),
  ];
}

function named(
  kind: NamedFix["kind"],
  where: Pick<NamedFix, "lane" | "device" | "connector" | "point">,
  minutes: number,
  chance: number,
): NamedFix {
  const id = [kind, where.lane, where.device, where.point].filter((x) => x !== null).join(" / ");
  return { id, kind, ...where, minutes, chance };
}
