import { describe, expect, test } from "vitest";
import { ohms } from "../../../src/domain/units.ts";
import { BehindMass } from "../../../src/inference/behind-mass.ts";
import { circuitModel, emptyShelf } from "../../../src/inference/chain/circuit-model.ts";
import type { NuisanceRange } from "../../../src/inference/chain/features.ts";
import type { Nuisance } from "../../../src/inference/chain/point-likelihoods.ts";
import { behindLeak, modelBehind } from "../../../src/inference/conducting/behind-leak.ts";
import type {
  CircuitProblem,
  ReadingProblem,
  WalkProblem,
} from "../../../src/inference/problem.ts";

/**
 * Water across the plate, and a pod behind it: worked with Thevenin's theorem and Simpson's rule, by
 * hand. 5 V, no source, a meter of 1,000 ohm.
 */
const law = (medianOhms: number, logSd: number) => [{ share: 1, medianOhms, logSd }];
const states = { sound: 0.8, fouled: 0.15, open: 0.05, cable: 0, intermittent: 0 };
const link = (wireOhms: number) => ({
  ...{ wireOhms, body: null, states: [states, states] as const },
  ...{ sound: law(0.2, 0.8), fouled: law(60, 1.2) },
});
const reading = (shown: number): ReadingProblem => ({
  ...{ index: 0, shown, halfStep: 0.005, noise: 0.02, meter: 0, order: 0 },
  ...{ slope: 0.997, tails: 0, floor: 1e-5, badMoment: 0 },
});
const circuitWith = (pod: readonly ReadingProblem[]): CircuitProblem => ({
  ...{ supply: 0, links: [link(2), link(0.3)], readings: [[], pod], pressed: [[], []] },
  ...{ conducting: [], limitOhms: 41 },
});
const nuisance: Nuisance = {
  ...{ emf: [5], drift: 0, noiseScale: 1, sourceOhms: [0], loadOhms: [1000] },
};
const range = {
  emf: [[4.9, 5.1]] as const,
  ...{ noiseScale: 0.8, sourceOhms: [[0, 0]] as const, loadOhms: [[1000, 1000]] as const },
};
const exact = (at: number) => ({ exact: [{ chance: 1, ohms: at }], medianOhms: 1, logSd: 1 });
const walkOf = (circuit: CircuitProblem): WalkProblem => ({
  supplies: [{ emf: 5, emfSd: 0.05, sourceOhms: exact(0) }],
  ...{ loads: [exact(1000)], driftSd: 0, noiseLogSd: 0, bodies: [], zeroRuns: [] },
  ...{ badMoments: { fouled: 0.7, law: law(60, 1.2) }, circuits: [circuit] },
});
const leakOf = (circuit: CircuitProblem) => {
  const shelf = emptyShelf(1000);
  const model = modelBehind(walkOf(circuit), shelf, circuit, 0, range, nuisance)!;
  return behindLeak(model, nuisance, []);
};

const phi = (z: number): number => Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
/** P(a value is shown | V), the display's step of 0.01 V small beside the noise of 0.02 V. */
const shownAt = (shown: number, volts: number): number => {
  const parts = [-0.004, -0.002, 0, 0.002, 0.004];
  const mean = parts.reduce((sum, off) => sum + phi((shown + off - volts) / 0.02) / 0.02, 0) / 5;
  return 0.997 * 0.01 * mean + 1e-5;
};

/** P(the pod shows this), its contact in a state of this law, behind a leak. */
function byHand(shown: number, before: number, loop: number, medianOhms: number, logSd: number) {
  const share = (loop - before) / loop;
  const [emf, source] = [5 * share, before * share];
  const steps = 4000;
  let sum = 0;
  for (let i = 0; i <= steps; i++) {
    const z = -6 + (12 * i) / steps;
    const r = medianOhms * Math.exp(logSd * z);
    const volts = (emf * 1000) / (1000 + source + 0.3 + r);
    const weight = i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2;
    sum += weight * phi(z) * shownAt(shown, volts);
  }
  return (sum * 12) / steps / 3;
}

const total = (shown: number, before: number, loop: number): number =>
  0.8 * byHand(shown, before, loop, 0.2, 0.8) +
  0.15 * byHand(shown, before, loop, 60, 1.2) +
  0.05 * shownAt(shown, 0);

test.each([
  [3.6, 400, 1500],
  [3.2, 405, 1500],
  [2.4, 700, 2000],
])("a pod that shows %d V behind a leak is as likely as by hand", (shown, before, loop) => {
  const leak = leakOf(circuitWith([reading(shown)]));
  const [value] = leak.valuesAt(ohms(before), loop);
  expect(value! / total(shown, before, loop)).toBeCloseTo(1, 2);
});

test("what nobody read behind a leak is as likely as not to be read", () => {
  const leak = leakOf(circuitWith([]));
  expect(leak.isRead).toBe(false);
  expect(leak.valuesAt(ohms(400), 1500)[0]).toBeCloseTo(1, 4);
});

test("behind the last link nothing is left", () => {
  const circuit = circuitWith([]);
  expect(modelBehind(walkOf(circuit), emptyShelf(1000), circuit, 1, range, nuisance)).toBeNull();
});

test("what is gathered of a leak is told by sources, none of it lost", () => {
  const circuit = circuitWith([reading(3.2)]);
  const leak = leakOf(circuit);
  const { mesh } = circuitModel(walkOf(circuit), circuit, range, emptyShelf(1000));
  // Paths of 20 to 60 ohm, evenly by node, in two loops.
  const inside = Array.from(mesh.t, (t) => (t > 20 && t < 60 ? 1 : 0));
  const count = inside.reduce((sum: number, x) => sum + x, 0);
  expect(count).toBeGreaterThan(3);
  const rows = Float64Array.from(inside, (x) => (0.3 * x) / count);
  const mass = new BehindMass(leak, 0, 38.7);
  mass.add(rows, mesh, 2, 1500);
  mass.add(rows, mesh, 2, 1700);
  expect(mass.probability).toBeCloseTo(0.6, 10);
  const parts = mass.parts();
  expect(parts.reduce((sum, { probability }) => sum + probability, 0)).toBeCloseTo(0.6, 10);
  for (const { weights, messages, starts, over } of parts) {
    const own = weights.reduce((sum, w, q) => sum + w * messages.likelihood[q]!, 0);
    expect(own).toBeCloseTo(1, 8);
    expect(starts.reduce((sum, { probability }) => sum + probability, over)).toBeCloseTo(1, 8);
  }
  const overall = parts.reduce((sum, { probability, over }) => sum + probability * over, 0);
  const beyond = Array.from(mesh.t).filter((t, m) => inside[m] === 1 && t >= 38.7).length;
  expect(overall / 0.6).toBeCloseTo(beyond / count, 3);
  // The places keep the mean of what lies under the limit.
  const under = Array.from(mesh.t).filter((t, m) => inside[m] === 1 && t < 38.7);
  const mean = under.reduce((sum, t) => sum + t, 0) / under.length;
  const told = parts.flatMap(({ probability, starts }) =>
    starts.map((start) => ({ t: start.t, p: probability * start.probability })),
  );
  const all = told.reduce((sum, { p }) => sum + p, 0);
  expect(told.reduce((sum, { t, p }) => sum + (p * t) / all, 0)).toBeCloseTo(mean, 3);
});

describe("the chain behind a leak", () => {
  const at = (
    index: number,
    shown: number,
    over: Partial<ReadingProblem> = {},
  ): ReadingProblem => ({
    ...reading(shown),
    index,
    ...over,
  });
  const three: CircuitProblem = {
    ...circuitWith([]),
    supply: 1,
    links: [link(2), link(0.3), link(5)],
    readings: [[at(0, 4.9)], [at(1, 4, { noise: 0.03 }), at(2, 3.6)], [at(3, 2.4)]],
    pressed: [[at(4, 1)], [at(5, 0.9)], [at(6, 0.4)]],
    conducting: [{ kind: "wet", link: 1, chance: 0.1, medianOhms: 300, logSd: 1 }],
  };
  const both: Nuisance = {
    ...{ emf: [12, 5], drift: 0.2, noiseScale: 1.5, sourceOhms: [3, 4], loadOhms: [1000] },
  };
  const wide: NuisanceRange = {
    ...{ emf: [[11, 13]], noiseScale: 0.8, sourceOhms: [[3, 3]], loadOhms: [[1000, 1000]] },
  };
  const ranges: NuisanceRange = {
    ...wide,
    emf: [...wide.emf, [4.9, 5.1]],
    sourceOhms: [...wide.sourceOhms, [4, 4]],
  };
  const walk = (() => {
    const own = walkOf(three);
    return { ...own, supplies: [own.supplies[0]!, own.supplies[0]!] };
  })();

  test("has what lies behind it, and nothing that conducts", () => {
    for (const [first, links] of [
      [0, 2],
      [1, 1],
    ] as const) {
      const { circuit } = modelBehind(walk, emptyShelf(1000), three, first, ranges, both)!;
      expect(circuit.links).toEqual(three.links.slice(-links));
      expect(circuit.readings).toEqual(three.readings.slice(-links));
      expect(circuit.pressed).toEqual(three.pressed.slice(-links));
      expect(circuit.conducting).toEqual([]);
    }
  });

  test.each([
    // Six times 1.5 x 0.03 V about 3.6 V and 4 V, and 3 % more at the top.
    ["by what was read there", three, [3.33, 1.03 * 4.27]],
    [
      "no more than the supply",
      { ...three, readings: [[], [at(1, 4.95)], [at(3, 2.4)]] },
      [4.77, 5.1],
    ],
    [
      "no less than little",
      { ...three, readings: [[], [at(1, 0.1)], [at(3, 0.1)]] },
      [0.02, 1.03 * 0.28],
    ],
    [
      "where nobody read, most of what there is",
      { ...three, readings: [[], [], [at(3, 2.4)]] },
      [1.53, 5.1],
    ],
  ] as const)("is laid for a source: %s", (_, circuit, [low, high]) => {
    const shelf = emptyShelf(1000);
    const model = modelBehind(walk, shelf, circuit, 1, ranges, both)!;
    // A shelf has one mesh for what is laid alike.
    const expected = { ...ranges, emf: [ranges.emf[0]!, [low, high] as const] };
    const sources: NuisanceRange = {
      ...expected,
      sourceOhms: [
        [3, 3],
        [0, 10],
      ],
    };
    expect(model.mesh).toBe(circuitModel(walk, model.circuit, sources, shelf).mesh);
    expect(model.mesh).not.toBe(circuitModel(walk, model.circuit, ranges, shelf).mesh);
  });

  test("sees of the drift and of what the supply was off by its share", () => {
    const late = at(3, 2.4, { order: 0.5, emfOffset: 0.3 });
    const circuit = { ...three, readings: [[], [], [late]] };
    const model = modelBehind(walk, emptyShelf(1000), circuit, 1, ranges, both)!;
    const { voltsAt } = behindLeak(model, both, []).wayFrom({ emf: 2.5, ohms: 7 });
    // Half of 5 + 0.2 / 2 + 0.3 V behind 7 + 5 ohm and the contacts.
    expect(voltsAt(late, 0)(30)).toBeCloseTo((0.5 * 5.4 * 1000) / 1042, 12);
    const again = behindLeak(model, { ...both, passed: 0.5 }, []).wayFrom({ emf: 2.5, ohms: 7 });
    expect(again.voltsAt(late, 0)(30)).toBeCloseTo(((0.5 * 5.1 + 0.25 * 0.3) * 1000) / 1042, 12);
  });

  test("is told by what was pressed there alone too", () => {
    const circuit = { ...three, readings: [[], [], []] };
    const model = modelBehind(walk, emptyShelf(1000), circuit, 1, ranges, both)!;
    const leak = behindLeak(model, both, []);
    expect(leak.isRead).toBe(true);
    const none = { ...circuit, pressed: [[at(4, 1)], [at(5, 0.9)], []] };
    const unread = modelBehind(walk, emptyShelf(1000), none, 1, ranges, both)!;
    expect(behindLeak(unread, both, []).isRead).toBe(false);
  });

  test("has one table for one value of the shared numbers and one set of displays off", () => {
    const model = modelBehind(walk, emptyShelf(1000), three, 0, ranges, both)!;
    const all = behindLeak(model, both, []);
    expect(behindLeak(model, both, [])).toBe(all);
    expect(behindLeak(model, { ...both }, [])).not.toBe(all);
    expect(behindLeak(model, both, [1, 2])).not.toBe(all);
    expect(behindLeak(model, both, [12])).not.toBe(behindLeak(model, both, [1, 2]));
    expect([...behindLeak(model, both, [1, 2]).off]).toEqual([1, 2]);
  });
});
