import type { KindPrior } from "../../ageing/contact-kinds.ts";
import { moveTable } from "../../ageing/joint-table.ts";
import { STATES } from "../../ageing/kind-moves.ts";
import { stateChances } from "../../diagnosis/state-chances.ts";
import type { Circuit } from "../../domain/circuit.ts";
import type { StateLikelihoods } from "../../domain/findings.ts";
import type { Pool } from "../../domain/pool.ts";

/**
 * What is believed of one circuit's contacts together. A table has the chance of every choice of
 * states (sound, fouled, open, intermittent), the first contact slowest; there is one for each
 * configuration of the bodies on the way (bit n: the n-th of them is contaminated).
 */
export interface CircuitTable {
  readonly circuit: Circuit;
  /** By link: the bit of its body in a configuration; null where it has none. */
  readonly bits: readonly (number | null)[];
  /** By link, body clean and contaminated: what a contact of unknown history is. */
  readonly priors: readonly (readonly [KindPrior, KindPrior])[];
  /** By configuration. */
  tables: readonly Float64Array[];
  /** By link: P(oxide | fouled). */
  oxide: readonly number[];
  /** Something has been seen of it or done to it: until then it stands where the prior stands. */
  known: boolean;
}

/** A circuit that nothing is known of. `oxide`: P(oxide | fouled) before any cleaning. */
export function unknownTable(pool: Pool, circuit: Circuit, oxide: number): CircuitTable {
  let bodies = 0;
  const bits = circuit.path.map(({ connector }) =>
    connector.sharing === "device" ? null : bodies++,
  );
  const priors = circuit.path.map(({ connector }): readonly [KindPrior, KindPrior] => {
    const [clean, dirty] = stateChances(connector.priors, pool.model.openPerFouled);
    return [clean, dirty].map(({ fouled, open, cable, intermittent }) => ({
      ...{ fouled, open: open + cable, intermittent },
    })) as unknown as readonly [KindPrior, KindPrior];
  });
  const tables = Array.from({ length: 1 << bodies }, (_, configuration) =>
    productTable(priors.map((own, k) => statesOf(own[bodyState(bits[k]!, configuration)]))),
  );
  const known = false;
  return { circuit, bits, priors, tables, oxide: circuit.path.map(() => oxide), known };
}

const statesOf = ({ fouled, open, intermittent }: KindPrior): Float64Array =>
  Float64Array.of(1 - fouled - open - intermittent, fouled, open, intermittent);

/** State of a link's body in a configuration: clean 0, contaminated 1. */
export const bodyState = (bit: number | null, configuration: number): 0 | 1 =>
  bit === null ? 0 : (((configuration >> bit) & 1) as 0 | 1);

function productTable(states: readonly Float64Array[]): Float64Array {
  return states.reduce<Float64Array>((table, own) => {
    const next = new Float64Array(table.length * STATES);
    for (let i = 0; i < table.length; i++)
      for (let state = 0; state < STATES; state++)
        next[STATES * i + state] = table[i]! * own[state]!;
    return next;
  }, Float64Array.of(1));
}

/** State of link k, of `count`, in entry `i` of a table. */
export const stateAt = (i: number, k: number, count: number): number =>
  (i >> (2 * (count - 1 - k))) & 3;

/** The first faulty link of an entry, from the timer out; `count` where every contact is sound. */
export function firstFault(i: number, count: number): number {
  for (let k = 0; k < count; k++) if (stateAt(i, k, count) > 0) return k;
  return count;
}

/** What a walk says of every entry of a table. */
export function likelihoodTable(walk: StateLikelihoods): Float64Array {
  const count = walk.first.length;
  const table = new Float64Array(STATES ** count);
  for (let i = 0; i < table.length; i++) table[i] = likelihoodAt(walk, i, count);
  return table;
}

function likelihoodAt(walk: StateLikelihoods, i: number, count: number): number {
  const k = firstFault(i, count);
  if (k === count) return walk.sound;
  let fault = stateAt(i, k, count);
  let value = walk.first[k]![fault - 1]!;
  let isShaky = fault === INTERMITTENT;
  for (let l = k + 1; l < count && fault !== OPEN; l++) {
    fault = stateAt(i, l, count);
    value *= (isShaky ? walk.shaky : walk.steady)[l]![fault]!;
    isShaky ||= fault === INTERMITTENT;
  }
  return value;
}

/** Numbers of these among a contact's states. */
const [OPEN, INTERMITTENT] = [2, 3] as const;

/** A table times a likelihood: its sum, and itself made to add to 1. */
export function weighedTable(
  table: Float64Array,
  likelihood: Float64Array,
): { readonly sum: number; readonly table: Float64Array } {
  const product = new Float64Array(table.length);
  let sum = 0;
  for (let i = 0; i < product.length; i++) sum += product[i] = table[i]! * likelihood[i]!;
  if (!(sum > 0)) return { sum, table };
  for (let i = 0; i < product.length; i++) product[i]! /= sum;
  return { sum, table: product };
}

/** P(configuration), bodies independent. `contaminated`: by bit. */
export const configurationChances = (contaminated: readonly number[]): Float64Array =>
  Float64Array.from({ length: 1 << contaminated.length }, (_, configuration) =>
    contaminated.reduce(
      (chance, p, bit) => chance * (bodyState(bit, configuration) === 1 ? p : 1 - p),
      1,
    ),
  );

/** Marginal states of link k over all configurations. */
export function marginal(
  { tables, circuit }: CircuitTable,
  chances: Float64Array,
  k: number,
): Float64Array {
  const states = new Float64Array(STATES);
  for (const [configuration, table] of tables.entries()) {
    const weight = chances[configuration]!;
    if (weight !== 0) addStates(states, table, weight, circuit.path.length, k);
  }
  return states;
}

/** Adds a table's states of link k, of `count`, times `weight`. */
export function addStates(
  to: Float64Array,
  table: Float64Array,
  weight: number,
  count: number,
  k: number,
): void {
  const run = STATES ** (count - 1 - k);
  for (let i = 0, state = 0; i < table.length; state = (state + 1) % STATES) {
    let sum = 0;
    const end = i + run;
    for (; i < end; i++) sum += table[i]!;
    to[state]! += weight * sum;
  }
}

/**
 * Tables after a while: contacts move at the rates of the body state that they arrive in,
 *
 *     T'(. | b') = sum over b of P(b) P(b' | b) M_b' T(. | b), made to add to 1.
 *
 * @param chances P(configuration b) before.
 * @param bodyMoves By bit: P(b' | b) as from * 2 + to.
 * @param moves By link: its matrix of states, body clean and contaminated.
 */
export function movedTables(
  { tables, bits }: CircuitTable,
  chances: Float64Array,
  bodyMoves: readonly Float64Array[],
  moves: readonly (readonly [Float64Array, Float64Array])[],
): readonly Float64Array[] {
  let masses = chances;
  let mixed: readonly Float64Array[] = tables.map((table, from) => scaled(table, chances[from]!));
  for (const [bit, move] of bodyMoves.entries()) {
    const at = 1 << bit;
    const [from, before] = [mixed, masses];
    // The configuration of this bit clean, and of it contaminated, as far as one leads to the other.
    const share = (to: number, state: 0 | 1) => move[state * 2 + bodyState(bit, to)]!;
    masses = before.map(
      (_, to) => share(to, 0) * before[to & ~at]! + share(to, 1) * before[to | at]!,
    );
    mixed = from.map((_, to) =>
      blended(from[to & ~at]!, share(to, 0), from[to | at]!, share(to, 1)),
    );
  }
  return mixed.map((table, to) => {
    const whole = masses[to]!;
    const from = whole > LEAST ? shareOf(table, whole) : tables[to]!;
    return moveTable(
      from,
      moves.map((own, k) => own[bodyState(bits[k]!, to)]),
    );
  });
}

function scaled(table: Float64Array, factor: number): Float64Array {
  const product = new Float64Array(table.length);
  for (let i = 0; i < product.length; i++) product[i] = factor * table[i]!;
  return product;
}

function shareOf(table: Float64Array, whole: number): Float64Array {
  const share = new Float64Array(table.length);
  for (let i = 0; i < share.length; i++) share[i] = table[i]! / whole;
  return share;
}

function blended(a: Float64Array, ofA: number, b: Float64Array, ofB: number): Float64Array {
  const sum = new Float64Array(a.length);
  for (let i = 0; i < sum.length; i++) sum[i] = ofA * a[i]! + ofB * b[i]!;
  return sum;
}

/** A configuration that is less likely keeps its table. */
const LEAST = 1e-300;
