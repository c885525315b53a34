import { type Deck, drawPair } from "./deck.ts";
import { pick, type Uniform } from "./laws.ts";
import { type Circuit, circuitName } from "./layout.ts";
import type { Nature } from "./nature.ts";
import type { Taken } from "./readings.ts";

/** What the sheet says, and the circuits whose rows are not where they belong. */
export interface Written {
  readonly taken: readonly Taken[];
  readonly mixedUp: readonly Circuit[];
}

/** Slips of the pen: the values of two points of a circuit, or of two circuits, change places. */
export function slip(
  deck: Deck,
  { mishap }: Nature,
  taken: readonly Taken[],
  uniform: Uniform,
): Written {
  if (mishap === "points-swapped") {
    const { circuit, contacts } = pick(
      uniform,
      deck.paths.filter((p) => p.contacts.length > 1),
    );
    const first = pick(uniform, contacts);
    const second = pick(
      uniform,
      contacts.filter((contact) => contact !== first),
    );
    const swap = new Map([
      [first.link.point, second.link.point],
      [second.link.point, first.link.point],
    ]);
    const from = (t: Taken): [Circuit, string] =>
      circuitName(t.circuit) === circuitName(circuit)
        ? [circuit, swap.get(t.point) ?? t.point]
        : [t.circuit, t.point];
    return { taken: exchanged(taken, from), mixedUp: [circuit] };
  }
  if (mishap === "rows-swapped") {
    const [a, b] = drawPair(deck, uniform).map(({ circuit }) => circuit) as [Circuit, Circuit];
    const other = new Map([
      [circuitName(a), b],
      [circuitName(b), a],
    ]);
    const from = (t: Taken): [Circuit, string] => [
      other.get(circuitName(t.circuit)) ?? t.circuit,
      t.point,
    ];
    return { taken: exchanged(taken, from), mixedUp: [a, b] };
  }
  return { taken, mixedUp: [] };
}

/** Every row shows the value of the place that `from` says. */
function exchanged(
  taken: readonly Taken[],
  from: (reading: Taken) => readonly [Circuit, string],
): Taken[] {
  return taken.map((reading) => {
    const [circuit, point] = from(reading);
    const source = taken.find(
      (one) =>
        circuitName(one.circuit) === circuitName(circuit) &&
        one.point === point &&
        one.state === reading.state,
    );
    return { ...reading, shown: (source ?? reading).shown };
  });
}
