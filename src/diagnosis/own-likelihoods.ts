import type { StateLikelihoods } from "../domain/findings.ts";
import { circuitName } from "../domain/place.ts";
import { CABLE, FOULED, INTERMITTENT, OPEN, SOUND } from "../inference/chain/adjoint.ts";
import { chainShape, statesOf } from "../inference/chain/shape.ts";
import type { WalkInference } from "../inference/infer.ts";
import type { CircuitInference } from "../inference/posterior.ts";
import type { CircuitProblem, StateChances } from "../inference/problem.ts";
import type { PosedWalk } from "./walk-problem.ts";

/**
 * What the readings say of a circuit's contacts, without what was believed before: the likelihoods
 * L(m) of which contact is the first faulty one, and how it fails (m), that give what was found. With
 * q(b) the posterior and P(m | b) the prior, given the states b of the circuit's bodies,
 *
 *     P(m | readings) = sum over b of q(b) P(m | b) L(m) / z(b),   z(b) = sum over m of P(m | b) L(m)
 *
 * solved for L by turns: both margins of a table are known, its inside is the prior times a factor of
 * each row and one of each column (iterative proportional fitting; Deming and Stephan 1940, from
 * memory). Exact where circuits have only the bodies in common.
 */
export const ownLikelihoods = (
  { problem, circuits }: PosedWalk,
  found: WalkInference,
): readonly StateLikelihoods[] =>
  circuits.map((circuit, c) => ({
    ...circuitName(circuit),
    ...likelihoodsOf(problem.circuits[c]!, found.circuits[c]!),
  }));

const TURNS = 40;
/** Less probability than this is the rounding of integrals: nothing is quite ruled out. */
const LEAST = 1e-9;
/** Contacts behind a faulty one are asked about where there is one by this chance. */
const FAULT_IN_FRONT = 1e-3;

/** Ways to be faulty, open in the connector and in the cable as one. */
const faultsOf = (own: ArrayLike<number>): readonly number[] => [
  own[FOULED]!,
  own[OPEN]! + own[CABLE]!,
  own[INTERMITTENT]!,
];
const chancesOf = ({ fouled, open, cable, intermittent }: StateChances): readonly number[] => [
  fouled,
  open + cable,
  intermittent,
];

export function likelihoodsOf(
  { links }: Pick<CircuitProblem, "links">,
  { first, behind, configurations }: Pick<CircuitInference, "first" | "behind" | "configurations">,
): Pick<StateLikelihoods, "sound" | "first" | "behind"> {
  const shape = chainShape(links);
  const prior = Array.from(configurations, (_, b) => {
    let sound = 1;
    const row = shape.links.flatMap((link) => {
      const states = statesOf(link, b >> link.bitsBefore);
      const own = chancesOf(states).map((chance) => sound * chance);
      sound *= states.sound;
      return own;
    });
    return [sound, ...row];
  });
  const posterior = [first.at(-1)![SOUND]!, ...first.flatMap(faultsOf)].map((p) =>
    Math.max(LEAST, p),
  );
  const whole = posterior.reduce((sum, p) => sum + p, 0);
  const likelihood = fitted(
    posterior.map((p) => p / whole),
    configurations,
    prior,
  );
  const most = Math.max(...likelihood);
  const [sound, ...rest] = likelihood.map((value) => value / most);
  return {
    sound: sound!,
    first: links.map((_, k) => rest.slice(3 * k, 3 * k + 3)),
    behind: shape.links.map((link, k) => {
      const own = behind[k]!;
      const states = [own[SOUND]!, ...faultsOf(own)].map((p) => Math.max(LEAST, p));
      const inFront = states.reduce((sum, p) => sum + p, 0);
      if (inFront < FAULT_IN_FRONT) return [1, 1, 1, 1];
      const before = [0, 0, 0, 0];
      for (const [b, q] of configurations.entries()) {
        const chances = statesOf(link, b >> link.bitsBefore);
        for (const [s, chance] of [chances.sound, ...chancesOf(chances)].entries())
          before[s]! += q * chance;
      }
      const ratios = states.map((p, s) => (before[s]! > 0 ? p / inFront / before[s]! : 1));
      const highest = Math.max(...ratios);
      return ratios.map((ratio) => ratio / highest);
    }),
  };
}

/** The columns' factors, from both margins and the prior of each row. */
function fitted(
  posterior: readonly number[],
  configurations: Float64Array,
  prior: readonly (readonly number[])[],
): readonly number[] {
  let likelihood = posterior.map(() => 1);
  for (let turn = 0; turn < TURNS; turn++) {
    const mean = posterior.map(() => 0);
    for (const [b, q] of configurations.entries()) {
      const row = prior[b]!;
      const z = row.reduce((sum, p, m) => sum + p * likelihood[m]!, 0);
      for (let m = 0; m < mean.length; m++) mean[m]! += (q * row[m]!) / z;
    }
    likelihood = posterior.map((p, m) => (mean[m]! > 0 ? p / mean[m]! : 1));
    const most = Math.max(...likelihood);
    likelihood = likelihood.map((value) => value / most);
  }
  return likelihood;
}
