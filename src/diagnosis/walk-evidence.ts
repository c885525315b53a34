import { type ChainPrior, logConfigurationPrior } from "./chain-prior.ts";
import { type CircuitMessages, type CircuitModel, circuitMessages } from "./circuit-model.ts";

/** The circuits of one lane. */
export interface LaneModel {
  readonly circuits: readonly CircuitModel[];
}

/** All circuits of a walk at one EMF, body states summed out. */
export interface WalkEvidence {
  readonly emf: number;
  /** ln P(all displayed values | EMF). */
  readonly logLikelihood: number;
  /** By lane, by circuit. */
  readonly messages: readonly (readonly CircuitMessages[])[];
  /** By lane: P(body configuration of the lane's chain | readings, EMF); sums to 1. */
  readonly bodies: readonly Float64Array[];
}

/**
 * The walk at several EMFs. Circuit by circuit, not EMF by EMF: a circuit's kernels then stay in
 * the processor's cache. Circuits that share a model share their messages.
 */
export function walkEvidence(
  prior: ChainPrior,
  lanes: readonly LaneModel[],
  emfs: readonly number[],
): readonly WalkEvidence[] {
  const known = new Map<CircuitModel, readonly CircuitMessages[]>();
  const messagesOf = (circuit: CircuitModel): readonly CircuitMessages[] => {
    const messages = known.get(circuit) ?? emfs.map((emf) => circuitMessages(circuit, emf));
    known.set(circuit, messages);
    return messages;
  };
  const byCircuit = lanes.map(({ circuits }) => circuits.map(messagesOf));
  return emfs.map((emf, n) => {
    const messages = byCircuit.map((circuits) => circuits.map((own) => own[n]!));
    return { emf, messages, ...sumBodies(prior, messages) };
  });
}

/** What the sum over the bodies needs of one circuit. */
export type CircuitLikelihood = Pick<CircuitMessages, "likelihood" | "logScale">;

/**
 * Sums over the body states. Given the EMF and the bodies that the pool shares, lanes are
 * independent; given the lane's bodies too, circuits are.
 */
export function sumBodies(
  prior: ChainPrior,
  lanes: readonly (readonly CircuitLikelihood[])[],
): Pick<WalkEvidence, "logLikelihood" | "bodies"> {
  const logJoint = lanes.map((circuits) => laneLogJoint(prior, circuits));
  const poolStates = subsetsOf(prior.poolBits);
  // ln P(lane's readings | the pool's bodies), lane by lane.
  const byPoolState = logJoint.map((joint) =>
    poolStates.map((state) => logSumWhere(joint, prior.poolBits, state)),
  );
  const logPool = poolStates.map(
    (state, s) =>
      logConfigurationPrior(prior, state, prior.poolBits) +
      byPoolState.reduce((sum, lane) => sum + lane[s]!, 0),
  );
  const logLikelihood = logSumExp(logPool);
  const bodies = logJoint.map((joint, lane) =>
    joint.map((value, c) => {
      const s = poolStates.indexOf(c & prior.poolBits);
      const withinLane = value - byPoolState[lane]![s]!;
      return withinLane > -745 ? Math.exp(logPool[s]! - logLikelihood + withinLane) : 0;
    }),
  );
  return { logLikelihood, bodies };
}

/** ln P(the lane's bodies, all its circuits' readings | the pool's bodies), by configuration. */
function laneLogJoint(prior: ChainPrior, circuits: readonly CircuitLikelihood[]): Float64Array {
  const laneBits = (prior.configurations - 1) & ~prior.poolBits;
  const joint = new Float64Array(prior.configurations);
  for (let c = 0; c < joint.length; c++) {
    let sum = logConfigurationPrior(prior, c, laneBits);
    for (const { likelihood, logScale } of circuits) sum += Math.log(likelihood[c]!) + logScale;
    joint[c] = sum;
  }
  return joint;
}

/** Every integer whose bits all lie in `mask`, ascending. */
function subsetsOf(mask: number): readonly number[] {
  const subsets: number[] = [];
  for (let bits = 0; bits <= mask; bits++) if ((bits & ~mask) === 0) subsets.push(bits);
  return subsets;
}

function logSumWhere(logs: Float64Array, mask: number, state: number): number {
  return logSumExp(Array.from(logs).filter((_, c) => (c & mask) === state));
}

/** ln of the sum of exponentials; minus infinity for a sum of nothing but zeros. */
export function logSumExp(logs: readonly number[]): number {
  const most = Math.max(...logs);
  if (most === Number.NEGATIVE_INFINITY) return most;
  return most + Math.log(logs.reduce((sum, value) => sum + Math.exp(value - most), 0));
}
