import type { Explanation, WalkDiagnosis } from "../domain/findings.ts";
import { type MeetSettings, meetSettings } from "../domain/meet.ts";
import {
  type CircuitName,
  circuitKey,
  circuitName,
  circuitOf,
  isOfDevice,
  sameCircuit,
  serves,
} from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { TouchCheck } from "../domain/touch.ts";
import type { WorkEntry } from "../domain/work.ts";
import { betaAfter } from "../numerics/beta.ts";
import { daysBetween } from "./days-between.ts";
import { type Look, latestLook, workSince } from "./latest-look.ts";
import { pathAtFault, suspectPoints } from "./path-at-fault.ts";
import { unreadAtFault } from "./possible-repairs.ts";
import { type Presses, ratePrior, type WeighedPresses, weighPresses } from "./presses.ts";
import { type Proof, type ProofRule, touchProof } from "./touch-proof.ts";

/** Why a device is not proven, for the program; report/ turns it into a sentence. */
export type Reason =
  | { readonly kind: "path at fault"; readonly probability: number; readonly point: string }
  | { readonly kind: "path in doubt"; readonly probability: number; readonly point: string }
  | { readonly kind: "stuck" | "leaking"; readonly probability: number }
  | { readonly kind: "pad at fault"; readonly probability: number; readonly presses: Presses }
  | { readonly kind: "false touches"; readonly probability: number; readonly presses: Presses }
  | { readonly kind: "misses too much"; readonly probability: number; readonly presses: Presses }
  | { readonly kind: "not read" }
  | { readonly kind: "blind meter" }
  | { readonly kind: "walk too old"; readonly days: number }
  | { readonly kind: "worked on since"; readonly point: string; readonly day: string }
  | { readonly kind: "not pressed" }
  | { readonly kind: "press on"; readonly presses: number | null; readonly probability: number };

/** One device of one lane on the morning of the meet. */
export interface DeviceState extends CircuitName {
  readonly state: "proven" | "in doubt" | "at fault";
  /** P(path at fault) after readings and touches; null where nothing was read. */
  readonly pathAtFault: number | null;
  /** Day of the newest walk that read it; null where none did, or its sheet does not tell. */
  readonly readOn: string | null;
  readonly missed: Presses | null;
  readonly falseTouches: Presses | null;
  readonly proof: Proof | null;
  /** The most serious first. */
  readonly reasons: readonly Reason[];
}

/** All that is known on the morning, for every device. */
export interface Morning {
  readonly pool: Pool;
  /** Day of the meet; null: not about a meet, so nothing is too old. */
  readonly date: string | null;
  /** Diagnosed walks in the order of time; empty where nobody walked. */
  readonly looks: readonly Look[];
  readonly work: readonly WorkEntry[];
  /** Null: nobody keeps touch checks here, and the verdict rests on the path alone. */
  readonly touches: readonly TouchCheck[] | null;
}

const faulty = 0.5;
const doubtful = 0.05;

/**
 * What the path's readings and the presses together say of one device.
 * Throws where the pool has no such circuit.
 */
export function deviceState(name: CircuitName, morning: Morning): DeviceState {
  const { pool, touches } = morning;
  const circuit = circuitOf(pool, name);
  if (circuit === undefined) throw new Error(`pool has no circuit ${circuitKey(name)}`);
  const look = latestLook(morning.looks, circuit);
  const walk = look?.diagnosis ?? null;
  const settings = meetSettings(pool);
  const fromReadings = walk === null ? null : pathAtFault(walk, circuit);
  // An unread path keeps the pool file's own prior.
  const prior = fromReadings ?? unreadAtFault(pool, circuit);
  const fingertip = weighPresses("fingertip", name, prior, morning);
  const missed = fingertip?.presses ?? null;
  const leak = rival(walk, circuit, ["leaking", "stuck"]);
  const falseTouches = weighPresses("open-hand", name, leak, morning)?.presses ?? null;
  const path = fromReadings === null ? null : (missed?.blame.pathAtFault ?? fromReadings);
  const proof = fingertip === null ? null : proofOf(fingertip, settings);
  const reasons = [
    ...pathReasons(circuit, path, look, morning),
    ...rivalReasons(circuit, walk),
    ...padReasons(missed, falseTouches),
  ];
  reasons.push(...touchReasons(touches, missed, proof, reasons.some(isFault)));
  const serious = reasons.some(isFault);
  return {
    ...circuitName(name),
    state: serious ? "at fault" : reasons.length > 0 ? "in doubt" : "proven",
    pathAtFault: path,
    readOn: look?.day ?? null,
    missed,
    falseTouches,
    proof,
    reasons: [...reasons.filter(isFault), ...reasons.filter((reason) => !isFault(reason))],
  };
}

const isFault = ({ kind }: Reason): boolean =>
  [
    "path at fault",
    "stuck",
    "leaking",
    "pad at fault",
    "misses too much",
    "false touches",
  ].includes(kind);

/** When a device counts as proven. */
export const proofRule = ({ touch }: MeetSettings): ProofRule => ({
  tolerated: touch.toleratedMissed,
  confidence: touch.confidence,
});

const proofOf = (
  { presses: { events, tried }, states }: WeighedPresses,
  settings: MeetSettings,
): Proof => touchProof(betaAfter(ratePrior(settings), events, tried), proofRule(settings), states);

function pathReasons(
  circuit: CircuitName,
  path: number | null,
  look: Look | null,
  morning: Morning,
): Reason[] {
  if (look === null || path === null) return [{ kind: "not read" }];
  const { pool, date } = morning;
  const walk = look.diagnosis;
  const reasons: Reason[] = [];
  const done = date === null ? [] : workSince(look, morning.work, date);
  const work = done.filter((entry) => serves(pool, entry, circuit));
  const suspects = suspectPoints(walk, circuit);
  const point = suspects[0] ?? "";
  // What the walk found wrong and somebody has put right since is in doubt, no longer at fault.
  const mended = suspects.every((suspect) => work.some((entry) => entry.point === suspect));
  if (path >= faulty && !mended) reasons.push({ kind: "path at fault", probability: path, point });
  else if (path > doubtful && !mended)
    reasons.push({ kind: "path in doubt", probability: path, point });
  if (walk.meters.length > 0 && walk.meters.every((meter) => meter.blind))
    reasons.push({ kind: "blind meter" });
  const days = date === null ? null : daysBetween(look.day, date);
  if (days !== null && days > meetSettings(pool).walkDays)
    reasons.push({ kind: "walk too old", days });
  const last = work.at(-1);
  if (last !== undefined)
    reasons.push({ kind: "worked on since", point: last.point, day: last.doneAt.day });
  return reasons;
}

function rivalReasons(circuit: CircuitName, walk: WalkDiagnosis | null): Reason[] {
  const kinds = [
    ["stuck", "stuck"],
    ["leaking", "leaking"],
  ] as const;
  return kinds.flatMap(([kind, word]): Reason[] => {
    const probability = rival(walk, circuit, [kind]);
    return probability >= faulty ? [{ kind: word, probability }] : [];
  });
}

function padReasons(missed: Presses | null, falseTouches: Presses | null): Reason[] {
  const reasons: Reason[] = [];
  if (missed !== null && missed.blame.padAtFault >= faulty)
    reasons.push({
      kind: "pad at fault",
      probability: missed.blame.padAtFault,
      presses: missed,
    });
  if (falseTouches !== null && 1 - falseTouches.blame.neither >= faulty)
    reasons.push({
      kind: "false touches",
      probability: 1 - falseTouches.blame.neither,
      presses: falseTouches,
    });
  return reasons;
}

/** What the presses alone still ask for; a device with a known fault is pressed anew once mended. */
function touchReasons(
  touches: readonly TouchCheck[] | null,
  missed: Presses | null,
  proof: Proof | null,
  faultKnown: boolean,
): Reason[] {
  if (touches === null || faultKnown) return [];
  if (missed === null || proof === null) return [{ kind: "not pressed" }];
  const { state, probability, pressesIfAllRegister: presses } = proof;
  if (state === "proven") return [];
  return state === "open"
    ? [{ kind: "press on", presses, probability }]
    : [{ kind: "misses too much", probability: 1 - probability, presses: missed }];
}

const rival = (
  walk: WalkDiagnosis | null,
  circuit: CircuitName,
  kinds: readonly string[],
): number =>
  Math.min(
    1,
    (walk?.explanations ?? [])
      .filter((e) => isAbout(e, circuit) && kinds.includes(e.kind))
      .reduce((sum, e) => sum + e.probability, 0),
  );

const isAbout = (about: Explanation, circuit: CircuitName): boolean =>
  isOfDevice(about) && sameCircuit(about, circuit);
