import {
  type ConductingFinding,
  type ContactFinding,
  isMisfit,
  type PlaceToRead,
  type WalkDiagnosis,
} from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import { isResting, type Reading } from "../domain/reading.ts";
import { CABLE, FOULED, INTERMITTENT, OPEN, SOUND } from "../inference/chain/adjoint.ts";
import type { Asked, CircuitInference } from "../inference/circuit-sums.ts";
import { infer, type WalkInference } from "../inference/infer.ts";
import type { Carried } from "./carried.ts";
import type { CircuitView } from "./evidence.ts";
import { explanationsOf } from "./explanations.ts";
import { clamped } from "./fit/clamped.ts";
import { fitFound } from "./fit/fit-found.ts";
import { metersSeen } from "./meter-sight.ts";
import { nothingRead } from "./nothing-read.ts";
import { ownLikelihoods } from "./own-likelihoods.ts";
import { shelfOf } from "./pool-shelf.ts";
import { rankConnectors } from "./ranking.ts";
import { type WeighedWalk, weighRivals } from "./rivals/weigh-rivals.ts";
import { seenCircuits } from "./seen-circuits.ts";
import { sharedFindings } from "./shared-findings.ts";
import { judge } from "./verdict.ts";
import { type PosedWalk, poseWalk } from "./walk-problem.ts";

/**
 * What one walk's readings say about every contact of the circuits that were read: the exact
 * posterior of the signal-path model (`inference/`), as findings.
 *
 *     1 the pool and the readings in numbers                  walk-problem
 *     2 sum and integrate, the walk's rivals beside it        rivals/, inference/infer
 *       how the readings fit                                  fit/
 *     3 contacts, what conducts, what the circuits share      shared-findings
 *     4 the verdict on each circuit, what to read again       verdict
 *     5 rank the connectors                                   ranking
 *     6 what else could explain the readings                  explanations
 *
 * Meshes and kernels are kept for the next walk of the same pool object. A walk without a resting
 * reading has nothing to say. With `rivals` false, a wrong load, which takes an inference of its own
 * and changes no finding, is left out: nothing but its printing needs it. With `carried` the walk
 * starts from what earlier ones left (`season/carried/`), else from the pool file's figures.
 */
export function diagnose(
  pool: Pool,
  readings: readonly Reading[],
  rivals = true,
  carried: Carried | null = null,
): WalkDiagnosis {
  if (!readings.some(isResting)) return nothingRead(pool, readings[0]?.walk ?? "");
  const posed = poseWalk(pool, readings, carried);
  const weighed = weighedWalk(pool, posed, carried === null ? "all" : "findings");
  const diagnosis = {
    ...findings(pool, posed, weighed, readings[0]!.walk, rivals),
    informedBy: carried?.informedBy ?? [],
    likelihoods: carried === null ? ownLikelihoods(posed, weighed.told) : [],
  };
  return isMisfit(diagnosis.fit) ? clamped(diagnosis) : diagnosis;
}

/** Steps 3 to 6: a weighed walk in the pool's own terms. */
export function findings(
  pool: Pool,
  posed: PosedWalk,
  weighed: WeighedWalk,
  walk: string,
  rivals: boolean,
): WalkDiagnosis {
  const { found } = weighed;
  const { fit, misfits } = fitFound(posed, weighed.fit);
  const meters = metersSeen(pool, posed);
  const byCircuit = posed.circuits.map((_, c) => contactsOf(posed, found.circuits[c]!, c));
  const conducting = posed.circuits.map((_, c) => conductingOf(posed, found.circuits[c]!, c));
  const readAgain: PlaceToRead[] = [];
  const circuits = seenCircuits(pool, posed, found, { meters, misfits, byCircuit, conducting }).map(
    (seen) => {
      const { judgement, readAgain: places } = judge(seen);
      readAgain.push(...places);
      const { underLimit, conducting } = seen;
      const { lane, device, end } = seen.circuit;
      return { lane, device, end, ...judgement, underLimit, conducting };
    },
  );
  const contacts = byCircuit.flat();
  return {
    walk,
    informedBy: [],
    likelihoods: [],
    logEvidence: found.logEvidence,
    fit,
    ...sharedFindings(pool, posed, found),
    connectors: rankConnectors(pool, viewsOf(posed, found, byCircuit, conducting), (connector) => {
      const body = posed.bodies.indexOf(connector);
      return body < 0 ? undefined : found.bodyAtFault.get(body);
    }),
    contacts,
    circuits,
    explanations: explanationsOf({ pool, posed, weighed, contacts, circuits, meters, rivals }),
    readAgain,
    meters,
  };
}

/** The first version's model has neither a fit test nor rivals. */
function weighedWalk(pool: Pool, { problem }: PosedWalk, asked: Asked): WeighedWalk {
  if (!pool.model.plain) return weighRivals(problem, shelfOf(pool), asked);
  const found = infer(problem, shelfOf(pool));
  return { found, told: found, fit: null, rivals: [] };
}

function contactsOf(
  { circuits }: PosedWalk,
  { states, ohms, voltsLost }: CircuitInference,
  c: number,
): readonly ContactFinding[] {
  const { path, lane, device, end } = circuits[c]!;
  return path.map(({ point }, k) => {
    const own = states[k]!;
    return {
      lane,
      device,
      end,
      point,
      sound: own[SOUND]!,
      fouled: own[FOULED]!,
      open: own[OPEN]! + own[CABLE]!,
      cable: own[CABLE]!,
      intermittent: own[INTERMITTENT]!,
      ohms: ohms[k]!,
      voltsLost: voltsLost[k]!,
    };
  });
}

function conductingOf(
  { problem, circuits }: PosedWalk,
  { conducting }: CircuitInference,
  c: number,
): readonly ConductingFinding[] {
  return problem.circuits[c]!.conducting.map(({ kind, link }, i) => ({
    kind,
    point: circuits[c]!.path[link]!.point,
    probability: conducting[i]!,
  })).sort((a, b) => b.probability - a.probability);
}

/** Something conducts where it is likelier than not. */
const CONDUCTS = 0.5;

function viewsOf(
  { circuits, problem, order }: PosedWalk,
  { nodes }: WalkInference,
  byCircuit: readonly (readonly ContactFinding[])[],
  conducting: readonly (readonly ConductingFinding[])[],
): readonly CircuitView[] {
  const { nuisance } = nodes.reduce((a, b) => (b.weight > a.weight ? b : a));
  return circuits.map((circuit, c) => ({
    circuit,
    problem: problem.circuits[c]!,
    contacts: byCircuit[c]!,
    conducts: conducting[c]!.reduce((sum, one) => sum + one.probability, 0) >= CONDUCTS,
    nuisance,
    readings: order.readings,
  }));
}
