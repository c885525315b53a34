import fc from "fast-check";
import type { Ladder } from "../../src/circuit/ladder.ts";
import { type Ohms, ohms, volts } from "../../src/domain/units.ts";

/** A ladder with a meter on it. */
export interface MeteredLadder {
  readonly path: Ladder;
  readonly position: number;
  readonly loadOhms: Ohms;
}

/** Resistances evenly spread over their orders of magnitude [Ω]. */
const spread = (low: number, high: number) =>
  fc
    .double({ min: Math.log10(low), max: Math.log10(high), noNaN: true })
    .map((power) => ohms(10 ** power));

const step = fc.record({
  series: spread(0.01, 1e5),
  shunt: fc.oneof({ weight: 2, arbitrary: fc.constant(ohms(Infinity)) }, spread(1, 1e7)),
});

/** Ladders of one to eight steps, leaks on a third of the nodes, a meter anywhere on them. */
export const anyLadder: fc.Arbitrary<MeteredLadder> = fc
  .record({
    emf: fc.double({ min: 0.5, max: 30, noNaN: true }).map(volts),
    sourceOhms: spread(0.01, 1e4),
    steps: fc.array(step, { minLength: 1, maxLength: 8 }),
    pick: fc.nat(),
    loadOhms: spread(100, 1e7),
  })
  .map(({ emf, sourceOhms, steps, pick, loadOhms }) => ({
    path: {
      emf,
      sourceOhms,
      seriesOhms: steps.map(({ series }) => series),
      shuntOhms: steps.map(({ shunt }) => shunt),
    },
    position: 1 + (pick % steps.length),
    loadOhms,
  }));
