import type { WalkProblem } from "../problem.ts";

/**
 * The bodies of shared connectors as a nest: of two bodies, one holds all of the other's circuits or
 * they have none in common. A room of the nest is a set of circuits with the bodies that exactly
 * they share; rooms hold rooms.
 */
export interface Nest {
  readonly rooms: readonly Room[];
  /** Circuits that share nothing. */
  readonly loose: readonly number[];
}

export interface Room {
  readonly bodies: readonly number[];
  /** P(state of the room's own bodies), by their bits. */
  readonly chances: Float64Array;
  /** How many bits of a state belong to the rooms around this one. */
  readonly bitsAround: number;
  readonly rooms: readonly Room[];
  /** Circuits of this room and of none within. */
  readonly circuits: readonly RoomCircuit[];
}

/** A circuit in its innermost room. */
export interface RoomCircuit {
  readonly circuit: number;
  /** By state of the rooms (outermost bits lowest): the circuit's own configuration. */
  readonly configuration: Int32Array;
}

/** The nest of a walk's circuits: bits of a circuit's configuration are its bodies, the first link's lowest. */
export const nestOf = ({ circuits, bodies }: Pick<WalkProblem, "circuits" | "bodies">): Nest =>
  buildNest(
    circuits.map(({ links }) => links.flatMap(({ body }) => (body === null ? [] : [body]))),
    bodies.map(({ contaminated }) => contaminated),
  );

/**
 * @param bodiesOf By circuit: its bodies in the order of its configuration's bits.
 * @param contaminated By body: the chance.
 */
export function buildNest(
  bodiesOf: readonly (readonly number[])[],
  contaminated: readonly number[],
): Nest {
  const circuitsOf = new Map<number, number[]>();
  for (const [circuit, bodies] of bodiesOf.entries()) {
    for (const body of bodies) {
      const members = circuitsOf.get(body) ?? [];
      members.push(circuit);
      circuitsOf.set(body, members);
    }
  }
  const sets = new Map<string, { members: readonly number[]; bodies: number[] }>();
  for (const [body, members] of circuitsOf) {
    const key = members.join(" ");
    const set = sets.get(key) ?? { members, bodies: [] };
    set.bodies.push(body);
    sets.set(key, set);
  }
  const outward = [...sets.values()].sort((a, b) => b.members.length - a.members.length);
  const inside = (around: readonly number[], all: typeof outward): readonly Room[] => {
    const rooms: Room[] = [];
    let rest = all;
    while (rest.length > 0) {
      const [first, ...others] = rest;
      const { members, bodies } = first!;
      const within = others.filter((other) => isWithin(other.members, members));
      rest = others.filter((other) => !within.includes(other));
      if (rest.some((other) => other.members.some((circuit) => members.includes(circuit)))) {
        throw new Error("connectors share circuits without one holding all of the other's");
      }
      const path = [...around, ...bodies];
      const inner = inside(path, within);
      const taken = new Set(within.flatMap((set) => set.members));
      rooms.push({
        bodies,
        chances: stateChances(bodies.map((body) => contaminated[body]!)),
        bitsAround: around.length,
        rooms: inner,
        circuits: members
          .filter((circuit) => !taken.has(circuit))
          .map((circuit) => ({ circuit, configuration: configurations(path, bodiesOf[circuit]!) })),
      });
    }
    return rooms;
  };
  const loose = bodiesOf.flatMap((bodies, circuit) => (bodies.length === 0 ? [circuit] : []));
  return { rooms: inside([], outward), loose };
}

const isWithin = (inner: readonly number[], outer: readonly number[]): boolean => {
  const all = new Set(outer);
  return inner.every((circuit) => all.has(circuit));
};

/** P(state) of independent bodies, by the state's bits. */
const stateChances = (contaminated: readonly number[]): Float64Array =>
  Float64Array.from({ length: 1 << contaminated.length }, (_, state) =>
    contaminated.reduce((p, chance, bit) => p * ((state >> bit) & 1 ? chance : 1 - chance), 1),
  );

/** By state of the rooms' bodies, `path` in order: the configuration in the circuit's own order. */
function configurations(path: readonly number[], own: readonly number[]): Int32Array {
  const places = own.map((body) => path.indexOf(body));
  return Int32Array.from({ length: 1 << path.length }, (_, state) =>
    places.reduce((bits, place, bit) => bits | (((state >> place) & 1) << bit), 0),
  );
}
