import { STATES } from "../../ageing/kind-moves.ts";
import type { CarriedCircuit, CarriedStates } from "../../diagnosis/carried.ts";
import { stateChances } from "../../diagnosis/state-chances.ts";
import type { Pool } from "../../domain/pool.ts";
import { addStates, bodyState, type CircuitTable, firstFault, stateAt } from "./circuit-table.ts";

/**
 * Contacts of a path hang together where this much is off, were they taken one by one: of which is the
 * first fault, or of which is the only one where one at most is. The latter since a walk that finds
 * all sound asks of two rare things which was likelier.
 */
const COUPLED = 0.01;
/** A pattern that is less likely is put together with the others that are. */
const LEAST = 1e-3;

/**
 * A circuit's tables as the exact sums take them: each contact's states given its own body, and,
 * where the contacts of the path hang together (one of two that could not be told apart), a pattern
 * for each contact that may be the first faulty one and each way in which it may be. Within a pattern
 * contacts are independent: a projection. Patterns that are rare are one together.
 */
export function carriedCircuit(
  pool: Pool,
  table: CircuitTable,
  chances: Float64Array,
): CarriedCircuit {
  const states = statesOfSums(pool, table, allSums(table, chances));
  const off = Math.max(offAsFirst(states, table, chances), offIfOne(states, table, chances));
  if (off < COUPLED) return { states, patterns: null };
  const sums = sumsByFirst(table, chances);
  const whole = sums.reduce((sum, { chance }) => sum + chance, 0);
  const rare = sums.filter(({ chance }) => chance < LEAST * whole);
  const kept = [...sums.filter((one) => !rare.includes(one)), added(table, rare)];
  return {
    states,
    patterns: kept
      .filter(({ chance }) => chance > 0)
      .map((own) => ({ chance: own.chance / whole, states: statesOfSums(pool, table, own) })),
  };
}

/** A part of a circuit's entries: its probability, and by link, body and state what it adds to. */
interface Sums {
  chance: number;
  readonly states: readonly (readonly [Float64Array, Float64Array])[];
}

const noSums = ({ circuit }: CircuitTable): Sums => ({
  chance: 0,
  states: circuit.path.map(() => [new Float64Array(STATES), new Float64Array(STATES)] as const),
});

function added(table: CircuitTable, parts: readonly Sums[]): Sums {
  const all = noSums(table);
  for (const { chance, states } of parts) {
    all.chance += chance;
    for (const [k, own] of states.entries()) {
      for (const body of [0, 1] as const) {
        for (let x = 0; x < STATES; x++) all.states[k]![body][x]! += own[body][x]!;
      }
    }
  }
  return all;
}

/** All entries together. */
function allSums(table: CircuitTable, chances: Float64Array): Sums {
  const all = noSums(table);
  for (const [configuration, own] of table.tables.entries()) {
    const weight = Math.max(LEAST_BODY, chances[configuration]!);
    all.chance += weight;
    for (const [k, bit] of table.bits.entries()) {
      addStates(all.states[k]![bodyState(bit, configuration)], own, weight, table.bits.length, k);
    }
  }
  return all;
}

/** The entries by their first faulty contact and how it fails; those with none come last. */
function sumsByFirst(table: CircuitTable, chances: Float64Array): readonly Sums[] {
  const count = table.circuit.path.length;
  const parts = Array.from({ length: STATES * count + 1 }, () => noSums(table));
  for (const [configuration, own] of table.tables.entries()) {
    // What cannot be has a say where its body's state is all there is to ask about.
    const weight = Math.max(LEAST_BODY, chances[configuration]!);
    const bodies = table.bits.map((bit) => bodyState(bit, configuration));
    for (let i = 0; i < own.length; i++) {
      const p = weight * own[i]!;
      if (p === 0) continue;
      const k = firstFault(i, count);
      const part = parts[k === count ? STATES * count : STATES * k + stateAt(i, k, count)]!;
      part.chance += p;
      for (let l = 0; l < count; l++) part.states[l]![bodies[l]!][stateAt(i, l, count)]! += p;
    }
  }
  return parts.filter(({ chance }) => chance > 0);
}

/** Each contact's states by the state of its body, open ones shared out between plug and cable. */
function statesOfSums(
  pool: Pool,
  { bits, circuit }: CircuitTable,
  { states }: Sums,
): readonly CarriedStates[] {
  return circuit.path.map(({ connector }, k) => {
    const given = stateChances(connector.priors, pool.model.openPerFouled);
    const [clean, dirty] = states[k]!;
    const of = (own: Float64Array, body: 0 | 1) => {
      const whole = own.reduce((sum, p) => sum + p, 0);
      // A pattern that this body's state rules out: as the other has it.
      const from = whole > 0 ? own : states[k]![1 - body]!;
      const all = whole > 0 ? whole : from.reduce((sum, p) => sum + p, 0);
      const { open, cable } = given[body];
      const share = cable > 0 ? cable / (open + cable) : 0;
      const opened = all > 0 ? from[2]! / all : 0;
      return {
        sound: all > 0 ? from[0]! / all : 1,
        fouled: all > 0 ? from[1]! / all : 0,
        open: opened * (1 - share),
        cable: opened * share,
        intermittent: all > 0 ? from[3]! / all : 0,
      };
    };
    return bits[k] === null
      ? ([of(clean, 0), of(clean, 0)] as const)
      : ([of(clean, 0), of(dirty, 1)] as const);
  });
}

const LEAST_BODY = 1e-12;

/** How far the chances of which contact is the first faulty one are off; as `offIfOne`. */
function offAsFirst(
  states: readonly CarriedStates[],
  table: CircuitTable,
  chances: Float64Array,
): number {
  const count = states.length;
  const joint = new Float64Array(count + 1);
  for (const [configuration, own] of table.tables.entries()) {
    for (let i = 0; i < own.length; i++) {
      joint[firstFault(i, count)]! += chances[configuration]! * own[i]!;
    }
  }
  return joint.reduce(
    (sum, p, k) => sum + Math.abs(p - aloneChance(states, table, chances, k)) / 2,
    0,
  );
}

/** P(link k is the first faulty one), were the contacts independent given the bodies. */
function aloneChance(
  states: readonly CarriedStates[],
  { bits }: CircuitTable,
  chances: Float64Array,
  first: number,
): number {
  return chances.reduce((sum, chance, configuration) => {
    let p = chance;
    for (let k = 0; k < Math.min(first + 1, states.length); k++) {
      const { sound } = states[k]![bodyState(bits[k]!, configuration)];
      p *= k === first ? 1 - sound : sound;
    }
    return sum + p;
  }, 0);
}

/**
 * How far the chances of which contact is faulty and how, given that one at most is, are from those of
 * contacts that are independent given the bodies: half the sum of differences.
 */
function offIfOne(
  states: readonly CarriedStates[],
  { tables, bits }: CircuitTable,
  chances: Float64Array,
): number {
  const count = states.length;
  const joint = new Float64Array(1 + 3 * count);
  const alone = new Float64Array(joint.length);
  for (const [configuration, chance] of chances.entries()) {
    const own = states.map((given, k) => statesAsRow(given[bodyState(bits[k]!, configuration)]));
    const allSound = own.reduce((product, row) => product * row[0]!, chance);
    const table = tables[configuration]!;
    joint[0]! += chance * table[0]!;
    alone[0]! += allSound;
    for (let k = 0; k < count; k++) {
      const others = own.reduce((p, row, l) => (l === k ? p : p * row[0]!), chance);
      for (let x = 1; x < STATES; x++) {
        joint[3 * k + x]! += chance * table[x << (2 * (count - 1 - k))]!;
        alone[3 * k + x]! += others * own[k]![x]!;
      }
    }
  }
  const [ofJoint, ofAlone] = [joint, alone].map((own) => own.reduce((sum, p) => sum + p, 0));
  if (!(ofJoint! > 0 && ofAlone! > 0)) return 1;
  return joint.reduce((sum, p, i) => sum + Math.abs(p / ofJoint! - alone[i]! / ofAlone!) / 2, 0);
}

const statesAsRow = ({ sound, fouled, open, cable, intermittent }: CarriedStates[0]) => [
  sound,
  fouled,
  open + cable,
  intermittent,
];
