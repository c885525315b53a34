import type { CircuitProblem, ZeroRun } from "./problem.ts";

/**
 * Zeros that a display may have shown because it was off. Of a run of n zeros at most one stretch
 * is off, so that a run has n (n + 1) / 2 + 1 explanations:
 *
 *     P(none) = product (1 - b_i)
 *     P(a..b) = product_(i<a) (1 - b_i)  b_a  q^(b-a)  (1 - q) product_(i>b+1) (1 - b_i)
 *
 * where (1 - q) belongs to the first reading after the stretch, be it a zero or not, and is left
 * out where none follows.
 */
export interface Stretch {
  /** Chance of this explanation. */
  readonly chance: number;
  /** First and last zero of the run that the display was off for; null: none. */
  readonly off: readonly [first: number, last: number] | null;
}

export function stretchesOf(run: ZeroRun): readonly Stretch[] {
  const { off, stays, followed } = run;
  const n = off.length;
  const on = (from: number, to: number): number => {
    let product = 1;
    for (let i = from; i < to; i++) product *= 1 - off[i]!;
    return product;
  };
  const found: Stretch[] = [{ chance: on(0, n), off: null }];
  for (let first = 0; first < n; first++) {
    const before = on(0, first) * off[first]!;
    if (before === 0) continue;
    for (let last = first; last < n && !run.surelyOn?.[last]; last++) {
      const after = last + 1 < n ? (1 - stays) * on(last + 2, n) : followed ? 1 - stays : 1;
      found.push({ chance: before * stays ** (last - first) * after, off: [first, last] });
    }
  }
  return found;
}

/**
 * By reading of a run: the chance that its display was off, were that of the zero before it; of all
 * zeros up to one their product is near enough the chance that all of them were off.
 */
export function offOneByOne(runs: readonly ZeroRun[]): ReadonlyMap<number, number> {
  let known = chancesOff.get(runs);
  if (known === undefined) {
    known = new Map(
      runs.flatMap(({ readings, off, stays }) =>
        readings.map((index, i) => [index, i === 0 ? off[i]! : Math.max(off[i]!, stays)] as const),
      ),
    );
    chancesOff.set(runs, known);
  }
  return known;
}

/** Every circuit's sketch asks for the same walk's. */
const chancesOff = new WeakMap<readonly ZeroRun[], ReadonlyMap<number, number>>();

/** The readings of a run that a stretch says were off. */
export const offIn = (run: ZeroRun, { off }: Stretch): readonly number[] =>
  off === null ? [] : run.readings.slice(off[0], off[1] + 1);

/** What may have been off among one circuit's readings. */
export interface CircuitDisplay {
  /** Ways that concern no other circuit, with their chances; `off` are readings' numbers. */
  readonly own: readonly { readonly chance: number; readonly off: readonly number[] }[];
  /** Readings of runs that go on in other circuits. */
  readonly sharedZeros: ReadonlySet<number>;
}

/** What may have been off in a walk. */
export interface WalkDisplay {
  readonly circuits: readonly CircuitDisplay[];
  /** Runs that several circuits share. */
  readonly shared: readonly ZeroRun[];
}

/** Splits the walk's runs into those of one circuit each, and those that several share. */
export function displayOf(
  circuits: readonly CircuitProblem[],
  runs: readonly ZeroRun[],
): WalkDisplay {
  const ownerOf = new Map<number, number>();
  for (const [c, circuit] of circuits.entries()) {
    for (const reading of circuit.readings.flat()) ownerOf.set(reading.index, c);
  }
  // Zeros of readings that tell nothing of a path (pressed ones) still keep a run together.
  const ownersOf = (run: ZeroRun): readonly number[] => [
    ...new Set(run.readings.flatMap((index) => ownerOf.get(index) ?? [])),
  ];
  const shared = runs.filter((run) => ownersOf(run).length > 1);
  const own = circuits.map((circuit, c): CircuitDisplay => {
    const mine = runs.filter((run) => ownersOf(run).length === 1 && ownersOf(run)[0] === c);
    const ways = mine.reduce<CircuitDisplay["own"]>(
      (sofar, run) =>
        sofar.flatMap((way) =>
          stretchesOf(run).map((stretch) => ({
            chance: way.chance * stretch.chance,
            off: [...way.off, ...offIn(run, stretch)],
          })),
        ),
      [{ chance: 1, off: [] }],
    );
    const numbers = new Set(circuit.readings.flat().map(({ index }) => index));
    const zeros = shared.flatMap(({ readings }) => readings.filter((index) => numbers.has(index)));
    return { own: merged(ways), sharedZeros: new Set(zeros) };
  });
  return { circuits: own, shared };
}

/** Ways that say the same of the circuit's own readings, joined. */
function merged(ways: CircuitDisplay["own"]): CircuitDisplay["own"] {
  const byOff = new Map<string, { chance: number; off: readonly number[] }>();
  for (const { chance, off } of ways) {
    const key = off.join(" ");
    const known = byOff.get(key);
    if (known === undefined) byOff.set(key, { chance, off });
    else known.chance += chance;
  }
  return [...byOff.values()];
}
