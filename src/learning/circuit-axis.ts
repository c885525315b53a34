import type { Pool } from "../domain/pool.ts";
import type { CircuitLikelihood } from "../inference/nest/nest-sum.ts";
import type { WalkProblem } from "../inference/problem.ts";
import type { WalkNode } from "../inference/walk-node.ts";
import { apartOf, fromScale, type PoolNumber, poolNumbers, toScale } from "./pool-numbers.ts";
import { nodesOf, posedBy, type StandingWalk } from "./standing-walk.ts";

/**
 * A number that changes circuits one by one, tried at a value or two beside the pool's own.
 *
 * A chance of a contact's states, or of a misread value, enters a circuit's likelihood as a polynomial:
 * of first degree in a class that the circuit passes once, nearly of second else. A law of resistance
 * bends ln of the likelihood nearly as a parabola of ln ohms.
 */
export interface CircuitAxis {
  readonly key: string;
  readonly form: PoolNumber["form"];
  /** Values at which it was summed; the pool's own first. */
  readonly values: readonly number[];
  /**
   * By node, case and further value, circuits' configurations end to end: the likelihood there over
   * that at the pool's value; of a law, ln of that.
   */
  readonly ratios: readonly (readonly (readonly Float64Array[])[])[];
}

/** A walk summed at the numbers of the pool that it stands by. */
export interface SummedWalk {
  readonly standing: StandingWalk;
  readonly pool: Pool;
  readonly base: readonly WalkNode[];
}

/** Values nearer to each other than this part of them are one. */
const SAME = 0.01;

/**
 * None of a number that is not of this kind, or has no room to move. The chance of a body that one
 * circuit read passes alone is in that circuit's contacts.
 */
export function circuitAxis(
  { standing, pool, base }: SummedWalk,
  number: PoolNumber,
): readonly CircuitAxis[] {
  const { key, form, value, reach } = number;
  if (reach !== "circuits" && reach !== "bodies") return [];
  const at = toScale(number, value);
  const tried = (number.once ? [1] : [-1, 1]).flatMap((step) => {
    const changed = number.set(pool, fromScale(number, at + step * apartOf(number)));
    // As large as there is room for.
    const own = poolNumbers(changed).find((one) => one.key === key)!.value;
    if (Math.abs(own - value) < SAME * value) return [];
    const problem = posedBy(standing, changed);
    if (reach === "bodies" && hasSameContacts(problem, standing.problem)) return [];
    return [{ own, nodes: nodesOf(standing, problem) }];
  });
  if (tried.length === 0) return [];
  const ratios = base.map((node, n) =>
    displayCases(node).map(({ off, circuits }) =>
      tried.map(({ nodes }) => ratiosOf(circuits, nodes[n]!, off, form)),
    ),
  );
  return [{ key, form, values: [value, ...tried.map(({ own }) => own)], ratios }];
}

const hasSameContacts = (a: WalkProblem, b: WalkProblem): boolean =>
  a.circuits.every(({ links }, c) =>
    links.every(({ states }, k) =>
      states.every(({ sound }, s) => sound === b.circuits[c]!.links[k]!.states[s]!.sound),
    ),
  );

/** Less than this part of a likelihood is left by no change that is tried. */
export const LEAST_RATIO = 1e-6;

/** A case of displays that was left out there is as likely as it was. */
function ratiosOf(
  base: readonly CircuitLikelihood[],
  node: WalkNode,
  off: string,
  form: PoolNumber["form"],
): Float64Array {
  const own = displayCases(node).find((one) => one.off === off)?.circuits;
  return endToEnd(
    base.map(({ logScale, values }, c) => {
      const there = own?.[c];
      const scale = there === undefined ? 1 : Math.exp(there.logScale - logScale);
      return values.map((value, k) => {
        const ratio = value > 0 ? (scale * (there?.values[k] ?? value)) / value : 1;
        return form === "chance" ? ratio : Math.log(Math.max(LEAST_RATIO, ratio));
      });
    }),
  );
}

/** What displays may have been off across circuits, by the readings that were. */
export const displayCases = ({ displays, logLikelihood }: WalkNode) =>
  displays.map(({ probability, off, circuits, sum }) => ({
    off: off.join(" "),
    logChance: Math.log(probability) + logLikelihood - sum.logLikelihood,
    circuits,
  }));

export function endToEnd(rows: readonly Float64Array[]): Float64Array {
  const all = new Float64Array(rows.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const row of rows) {
    all.set(row, at);
    at += row.length;
  }
  return all;
}
