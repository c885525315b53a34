import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readingVolts } from "../../src/circuit/divider.ts";
import {
  type Ladder,
  ladderVolts,
  loadBeyond,
  parallelOhms,
  pathLadder,
  sourceAt,
  timerInputVolts,
} from "../../src/circuit/ladder.ts";
import { ohms, volts } from "../../src/domain/units.ts";
import { anyLadder } from "./any-ladder.ts";

const none = ohms(0);
const open = ohms(Number.POSITIVE_INFINITY);
const ladder = (emf: number, source: number, series: number[], shunt: number[]): Ladder => ({
  emf: volts(emf),
  sourceOhms: ohms(source),
  seriesOhms: series.map(ohms),
  shuntOhms: shunt.map(ohms),
});

describe("published networks", () => {
  // Kuphaldt, Lessons In Electric Circuits, vol. I DC; chapter named at each test.

  test("series-parallel network of 24 V (ch. 7, checked there with SPICE; verified)", () => {
    const first = parallelOhms(ohms(100), ohms(250));
    const second = parallelOhms(ohms(350), ohms(200));
    expect(first).toBeCloseTo(71.429, 3);
    expect(second).toBeCloseTo(127.27, 2);
    const network = ladder(24, 0, [first], [second]);
    expect(loadBeyond(network, 0)).toBeCloseTo(198.7, 1);
    expect(ladderVolts(network, 1, open)).toBeCloseTo(15.373, 3);
    expect(24 - ladderVolts(network, 1, open)).toBeCloseTo(8.627, 3);
    expect(ladderVolts(network, 1, open) / 350).toBeCloseTo(43.92e-3, 5);
  });

  test("two sources of 28 V and 7 V into 2 Ω, by superposition (ch. 10; verified)", () => {
    const fromFirst = ladder(28, 4, [0], [1]);
    const fromSecond = ladder(7, 1, [0], [4]);
    expect(sourceAt(fromFirst, 1).ohms).toBeCloseTo(0.8, 12);
    const openVolts = sourceAt(fromFirst, 1).emf + sourceAt(fromSecond, 1).emf;
    expect(openVolts).toBeCloseTo(11.2, 12);
    const loaded = [fromFirst, fromSecond].map((each) => ladderVolts(each, 1, ohms(2)));
    expect(loaded[0]! + loaded[1]!).toBeCloseTo(8, 12);
  });

  test.each([
    [0.5, 37.1124],
    [0.8, 39.2],
    [1.1, 38.2227],
  ])("a load of %d Ω on 11.2 V behind 0.8 Ω takes %d W (ch. 10; computed)", (load, watts) => {
    const across = ladderVolts(ladder(11.2, 0.8, [], []), 0, ohms(load));
    expect(across ** 2 / load).toBeCloseTo(watts, 4);
  });

  test("a 10 MΩ voltmeter halfway down 500 MΩ on 24 V shows 0.8889 V (ch. 8; verified)", () => {
    const pair = ladder(24, 0, [250e6], [250e6]);
    expect(ladderVolts(pair, 1, open)).toBeCloseTo(12, 12);
    expect(ladderVolts(pair, 1, ohms(10e6))).toBeCloseTo(0.8889, 4);
    expect(parallelOhms(ohms(250e6), ohms(10e6)) / 1e6).toBeCloseTo(9.615, 3);
  });

  test("a balanced bridge shows nothing between its arms, whatever the supply (ch. 8)", () => {
    // Ra/Rx = R1/R2 with 365, 100, 1000 gives Rx = 3650 (computed).
    for (const emf of [5, 24]) {
      const left = ladderVolts(ladder(emf, 0, [365], [3650]), 1, open);
      expect(ladderVolts(ladder(emf, 0, [100], [1000]), 1, open)).toBeCloseTo(left, 12);
    }
  });

  test("wet connectors at two nodes and a meter at the third", () => {
    // Nodal analysis, cross-checked with ngspice 39 (check values G1-17, computed).
    const wet = ladder(5, 0, [10, 100, 5], [47_000, 22_000, Number.POSITIVE_INFINITY]);
    const metered = ladder(5, 0, [10, 100, 5], [47_000, 22_000, 1000]);
    expect(ladderVolts(metered, 1, open)).toBeCloseTo(4.95227498, 8);
    expect(ladderVolts(metered, 2, open)).toBeCloseTo(4.485561533, 8);
    expect(ladderVolts(wet, 3, ohms(1000))).toBeCloseTo(4.463245307, 8);
  });

  test.each([
    [1, 2],
    [2, 1.6666666666666667],
    [5, 1.6181818181818182],
    [10, 1.6180339985218033],
  ])("%d sections of 1 Ω draw as %d Ω, on the way to the golden ratio", (sections, seen) => {
    // Textbook identity R_n = R + R || R_(n-1) (check values G1-18, computed).
    const equal = Array.from({ length: sections }, () => 1);
    expect(loadBeyond(ladder(5, 0, equal, equal), 0)).toBeCloseTo(seen, 9);
  });
});

describe("the path of a circuit", () => {
  const series = [0.3, 20, 2.1, 4].map(ohms);

  test("at rest it is the divider of equation (1)", () => {
    const path = pathLadder(volts(5), ohms(12), series);
    expect(ladderVolts(path, 2, ohms(1000))).toBeCloseTo(5000 / (1000 + 12 + 20.3), 12);
    expect(ladderVolts(path, 2, ohms(1000))).toBeCloseTo(
      readingVolts(volts(5), ohms(1000), ohms(12), ohms(20.3)),
      12,
    );
  });

  test("pressed, the timer's own input follows equation (3)", () => {
    // E (S + Rd) / (Rs + S + Rd) by hand: 5 * 29.4 / 129.4.
    const pressed = pathLadder(volts(5), ohms(100), series, ohms(3));
    expect(timerInputVolts(pressed)).toBeCloseTo((5 * 29.4) / 129.4, 12);
  });

  test("an open contact reads 0 behind it and the whole supply in front of it", () => {
    const broken = pathLadder(volts(5), none, [ohms(0.3), open, ohms(2)], ohms(3));
    expect(ladderVolts(broken, 3, ohms(1000))).toBe(0);
    expect(ladderVolts(broken, 3, open)).toBe(0);
    expect(ladderVolts(broken, 2, open)).toBe(0);
    expect(timerInputVolts(broken)).toBe(5);
    expect(ladderVolts(broken, 1, open)).toBe(5);
  });

  test("a dead short reads 0, even on a source without resistance", () => {
    expect(timerInputVolts(pathLadder(volts(5), none, [none], none))).toBe(0);
    expect(ladderVolts(pathLadder(volts(5), ohms(50), series, none), 4, ohms(1000))).toBe(0);
  });

  test("a position off the ladder and a missing shunt are mistakes of the program", () => {
    expect(() => ladderVolts(pathLadder(volts(5), none, series), 5, open)).toThrow("0 to 4, got 5");
    for (const off of [-1, 1.5, Number.NaN])
      expect(() => ladderVolts(pathLadder(volts(5), none, series), off, open)).toThrow(
        `got ${off}`,
      );
    expect(() => ladderVolts(ladder(5, 0, [1, 2], [1]), 1, open)).toThrow("2 steps but 1 shunts");
  });
});

describe("laws that hold on every ladder", () => {
  const withMeter = (path: Ladder, position: number, load: number): Ladder => ({
    ...path,
    shuntOhms: path.shuntOhms.map((shunt, step) =>
      step === position - 1 ? parallelOhms(shunt, ohms(load)) : shunt,
    ),
  });

  test("Kirchhoff: as much current arrives at every node as leaves it", () => {
    fc.assert(
      fc.property(anyLadder, ({ path, position, loadOhms }) => {
        const metered = withMeter(path, position, loadOhms);
        const nodes = [0, ...path.seriesOhms.map((_, step) => step + 1)].map((node) =>
          ladderVolts(metered, node, open),
        );
        expect(ladderVolts(path, position, loadOhms)).toBeCloseTo(nodes[position]!, 12);
        const series = [path.sourceOhms, ...path.seriesOhms];
        const before = [path.emf, ...nodes];
        const through = series.map((r, branch) => (before[branch]! - nodes[branch]!) / r);
        for (const [node, arriving] of through.entries()) {
          const leak = node === 0 ? 0 : nodes[node]! / metered.shuntOhms[node - 1]!;
          // The currents come from differences of voltages that are rounded at 1e-16 of the EMF.
          const rounding = (4e-16 * path.emf) / Math.min(series[node]!, series[node + 1] ?? open);
          const residual = Math.abs(arriving - leak - (through[node + 1] ?? 0));
          expect(residual).toBeLessThanOrEqual(1e-9 * Math.abs(arriving) + 8 * rounding);
        }
      }),
    );
  });

  test("more series resistance never raises a reading behind it", () => {
    fc.assert(
      fc.property(
        anyLadder,
        fc.nat(),
        fc.double({ min: 1e-3, max: 1e6, noNaN: true }),
        (drawn, pick, more) => {
          const { path, position, loadOhms } = drawn;
          const step = pick % position;
          const seriesOhms = path.seriesOhms.map((r, i) => ohms(i === step ? r + more : r));
          const before = ladderVolts(path, position, loadOhms);
          const after = ladderVolts({ ...path, seriesOhms }, position, loadOhms);
          expect(after).toBeLessThanOrEqual(before * (1 + 1e-15));
        },
      ),
    );
  });

  test("without leaks, more resistance anywhere, source included, never raises any reading", () => {
    fc.assert(
      fc.property(
        anyLadder,
        fc.nat(),
        fc.double({ min: 1e-3, max: 1e6, noNaN: true }),
        ({ path: drawn, loadOhms }, pick, more) => {
          const path = { ...drawn, shuntOhms: drawn.shuntOhms.map(() => open) };
          const at = (pick % (path.seriesOhms.length + 1)) - 1;
          const worse = {
            ...path,
            sourceOhms: ohms(path.sourceOhms + (at < 0 ? more : 0)),
            seriesOhms: path.seriesOhms.map((r, i) => ohms(i === at ? r + more : r)),
          };
          for (let position = 0; position <= path.seriesOhms.length; position++) {
            const before = ladderVolts(path, position, loadOhms);
            expect(ladderVolts(worse, position, loadOhms)).toBeLessThanOrEqual(
              before * (1 + 1e-15),
            );
          }
        },
      ),
    );
  });
});
