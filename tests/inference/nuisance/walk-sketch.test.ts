import { describe, expect, test } from "vitest";
import { loopSketch } from "../../../src/inference/conducting/loop-sketch.ts";
import { nestOf } from "../../../src/inference/nest/nest.ts";
import {
  circuitSketch,
  marginalFaults,
  sketchParts,
  totalOf,
} from "../../../src/inference/nuisance/sketch.ts";
import { sourceLoops } from "../../../src/inference/nuisance/source-loops.ts";
import { walkSketch } from "../../../src/inference/nuisance/walk-sketch.ts";
import type {
  CircuitProblem,
  ConductingProblem,
  StateChances,
  WalkProblem,
} from "../../../src/inference/problem.ts";
import { chances, circuit, link, reading, walkOf } from "../small-walks.ts";

const fine = { noise: 0.02, halfStep: 0.005, tails: 0, slope: 1, floor: 1e-12 };
const at = (emf: number, sourceOhms = 50) => ({
  ...{ emf: [emf], drift: 0, noiseScale: 1, sourceOhms: [sourceOhms], loadOhms: [1000] },
});
const film = [{ share: 1, medianOhms: 60, logSd: 1 }];
type Faults = Parameters<typeof chances>[0];
const contact = (faults: Faults, body: number | null = null, ifBad = faults) => ({
  ...link(1, chances(faults), body, chances(ifBad)),
  fouled: film,
});
const withBody = (walk: WalkProblem, contaminated: number): WalkProblem => ({
  ...walk,
  bodies: [{ contaminated }],
});

describe("a walk's sketch that may come to less than is asked", () => {
  /** Behind 50 ohm and 1.28 of 1000: 4.75 V. Each circuit is off by its own. */
  const shown = [4.75, 4.74, 4.72, 4.77];
  const circuits = shown.map((volts, c) =>
    circuit([contact({ fouled: 0.01 })], [[reading(c, volts, fine)]]),
  );
  const walk = walkOf(circuits);
  const exact = (emf: number) =>
    circuits.reduce((sum, own) => sum + circuitSketch(walk, own)(at(emf)), 0);
  const sketch = () => walkSketch(walk, nestOf(walk)).at;

  test("is whole at first, whatever is asked, then where it comes to that", () => {
    const own = sketch();
    expect(own(at(5), 1e6)).toBeCloseTo(exact(5), 9);
    for (const emf of [5, 5.01, 4.99]) {
      expect(own(at(emf), exact(emf) - 1e-6)).toBeCloseTo(exact(emf), 9);
      expect(own(at(emf), exact(emf) + 1e-6)).toBe(Number.NEGATIVE_INFINITY);
      expect(own(at(emf))).toBeCloseTo(exact(emf), 9);
    }
  });

  test("bears in mind the most that each circuit came to, more than once", () => {
    // At 4.6 V each is some 170 less likely.
    const own = sketch();
    for (const emf of [4.6, 4.8, 5]) expect(own(at(emf))).toBeCloseTo(exact(emf), 9);
    for (const emf of [5, 4.8, 5]) {
      expect(own(at(emf), exact(emf) - 1e-6)).toBeCloseTo(exact(emf), 9);
      expect(own(at(emf), exact(emf) + 1e-6)).toBe(Number.NEGATIVE_INFINITY);
    }
  });

  test("asks no further circuit once the rest cannot make it up: 3 in ln above their most", () => {
    const own = sketch();
    own(at(5));
    const logs = circuits.map((one) => circuitSketch(walk, one)(at(5)));
    const first = circuitSketch(walk, circuits[0]!)(at(4.9));
    const bound = first + logs.slice(1).reduce((sum, log) => sum + log + 3, 0);
    // Each circuit asks for its source once.
    const askedWith = (least: number) => {
      let asked = 0;
      const watched = {
        ...at(4.9),
        get sourceOhms() {
          asked += 1;
          return [50];
        },
      };
      own(watched, least);
      return asked;
    };
    expect(askedWith(bound + 1e-6)).toBe(1);
    expect(askedWith(bound - 1e-6)).toBe(2);
  });

  test("of bodies takes the likelier state of each circuit for the most it may come to", () => {
    for (const volts of [4.75, 4.5]) {
      const tied = [0, 1].map((c) =>
        circuit([contact({ fouled: 0.01 }, 0, { fouled: 0.9 })], [[reading(c, volts, fine)]]),
      );
      const two = withBody(walkOf(tied), 0.1);
      const logs = [0, 1].map((state) => circuitSketch(withBody(two, state), tied[0]!)(at(5)));
      const whole = Math.log(0.9 * Math.exp(2 * logs[0]!) + 0.1 * Math.exp(2 * logs[1]!));
      const most = 2 * Math.max(...logs);
      const own = walkSketch(two, nestOf(two)).at;
      expect(own(at(5))).toBeCloseTo(whole, 9);
      expect(most).toBeGreaterThan(whole + 0.1);
      expect(own(at(5), most - 1e-6)).toBeCloseTo(whole, 9);
      expect(own(at(5), most + 1e-6)).toBe(Number.NEGATIVE_INFINITY);
    }
  });

  test("of a contact in no body takes its chances while clean, whatever else is said", () => {
    const loose = [0, 1].map((c) =>
      circuit([contact({ fouled: 0.01 }, null, { fouled: 0.9 })], [[reading(c, 4.5, fine)]]),
    );
    const two = walkOf(loose);
    const whole = 2 * circuitSketch(two, loose[0]!)(at(5));
    const own = walkSketch(two, nestOf(two)).at;
    expect(own(at(5))).toBeCloseTo(whole, 9);
    expect(own(at(5), whole + 1e-6)).toBe(Number.NEGATIVE_INFINITY);
  });

  test("is as low as a number can be where a circuit cannot have shown what it did", () => {
    const impossible = circuit([contact({})], [[reading(0, 2, { ...fine, floor: 0 })]]);
    const one = walkOf([impossible]);
    expect(walkSketch(one, nestOf(one)).at(at(5))).toBe(Math.log(Number.MIN_VALUE));
  });
});

describe("what a stuck switch says of a source", () => {
  const stuck: ConductingProblem = {
    ...{ kind: "stuck", link: 1, chance: 0.05, medianOhms: 2, logSd: 1 },
  };
  const front = (k: number) => 50 + (k + 1) * 1.28;
  /** Behind 50 ohm, 2 ohm across the pair behind the second link. */
  const through = (k: number) => {
    const rest = front(1) - front(k) + 2;
    const beside = (rest * 1000) / (rest + 1000);
    return (5 * beside) / (beside + front(k));
  };
  const full = (k: number) => 5000 / (1000 + front(k));
  const states: readonly [Faults, Faults] = [{ fouled: 0.05 }, { fouled: 0.6 }];
  const pathOf = (c: number, volts: readonly number[], body: number | null, first = states) =>
    circuit(
      [contact(first[0], body, first[1]), contact({ fouled: 0.1 })],
      volts.map((value, k) => [reading(2 * c + k, value, fine)]),
      { conducting: [stuck] },
    );
  const sources = [49, 50, 51].map((ohms) => at(5, ohms));
  const gainOf = (walk: WalkProblem) => sourceLoops(walk, walkSketch(walk, nestOf(walk)), sources);

  /** P(a circuit's readings), its loop among what may be, while the body at the timer is in a state. */
  function looped(walk: WalkProblem, own: CircuitProblem, state: 0 | 1, source: number): number {
    const given = withBody(walk, state);
    const plain = totalOf(sketchParts(given, own, true)(at(5, source)));
    const faults = marginalFaults(given, own);
    const { fouled }: StateChances = own.links[0]!.states[own.links[0]!.body === null ? 0 : state];
    const by = (bad: 0 | 1) =>
      Math.exp(
        loopSketch(
          ...([own, stuck, at(5, source)] as const),
          [{ fouled: bad, sound: 1 - bad }, ...faults.slice(1)],
          ...([bad === 1, new Map()] as const),
        ).logLikelihood,
      );
    return plain + 0.05 * ((1 - fouled) * by(0) + fouled * by(1));
  }

  const low = [through(0), through(1)];
  const high = [full(0), full(1)];
  // Behind a first contact that has fouled the second reading is higher than the loop would have it.
  const odd = [through(0), through(0) + 0.3];

  test.each([
    ["in a body", 0, [low, high, high, high]],
    ["in a body, twice", 0, [low, low, high, high]],
    ["not in a body", null, [low, high, high, high]],
    ["read higher behind than in front", 0, [odd, high, high, high]],
  ] as const)("its first contact %s: by each state, the loop and all else", (_, body, rows) => {
    const walk = withBody(walkOf(rows.map((volts, c) => pathOf(c, volts, body))), 0.2);
    const gain = gainOf(walk)!;
    for (const source of [50, 55]) {
      const nuisance = at(5, source);
      const isLow = rows.map((volts) => volts !== high);
      const sum = (of: (own: CircuitProblem, c: number, state: 0 | 1) => number) =>
        ([0, 1] as const).reduce(
          (total: number, state) =>
            total +
            (state === 1 ? 0.2 : 0.8) *
              walk.circuits.reduce<number>((product, own, c) => product * of(own, c, state), 1),
          0,
        );
      const plain = (own: CircuitProblem, _c: number, state: 0 | 1) =>
        Math.exp(circuitSketch(withBody(walk, state), own)(nuisance));
      const whole = (own: CircuitProblem, c: number, state: 0 | 1) =>
        isLow[c] ? looped(walk, own, state, source) : plain(own, c, state);
      expect(gain(nuisance)).toBeCloseTo(Math.log(sum(whole) / sum(plain)), 6);
    }
  });

  test("a first contact that never fouls has none of that", () => {
    const walk = walkOf(
      [low, high, high, high].map((volts, c) => pathOf(c, volts, null, [{}, {}])),
    );
    const gain = gainOf(walk)!(at(5));
    const plain = circuitSketch(walk, walk.circuits[0]!)(at(5));
    const whole = Math.log(looped(walk, walk.circuits[0]!, 0, 50));
    expect(gain).toBeCloseTo(whole - plain, 6);
  });

  test("nothing where what is shown has a fault to explain it, the loop next to no chance", () => {
    const rare = { ...stuck, chance: 1e-9 };
    const own = circuit(
      [contact({ fouled: 0.3 }), contact({})],
      [[reading(0, 4, fine)], [reading(1, 4, fine)]],
      { conducting: [rare] },
    );
    const others = [1, 2, 3].map((c) => pathOf(c, high, null));
    expect(gainOf(walkOf([own, ...others]))).toBeNull();
  });

  test("nothing of a path that looks sound, though a leak of 1 Mohm would do as well", () => {
    const leak = { ...stuck, kind: "leaking", chance: 0.3, medianOhms: 1e6, logSd: 0.5 } as const;
    const own = { ...pathOf(0, high, null), conducting: [leak] };
    const others = [1, 2, 3].map((c) => pathOf(c, high, null));
    expect(gainOf(walkOf([own, ...others]))).toBeNull();
  });
});
