import { describe, expect, test } from "vitest";
import { wayOut } from "../../../src/inference/chain/adjoint.ts";
import {
  type CircuitModel,
  circuitModel,
  emptyShelf,
  shapesOf,
} from "../../../src/inference/chain/circuit-model.ts";
import {
  axisEnd,
  circuitFeatures,
  type NuisanceRange,
} from "../../../src/inference/chain/features.ts";
import { backward } from "../../../src/inference/chain/messages.ts";
import {
  type Nuisance,
  pointLikelihoods,
  seriesVolts,
} from "../../../src/inference/chain/point-likelihoods.ts";
import {
  factorOf,
  seriesWays,
  sumWays,
  wayWeights,
} from "../../../src/inference/circuit-evidence.ts";
import { lawDensity } from "../../../src/inference/law-density.ts";
import type { CircuitProblem, ReadingProblem } from "../../../src/inference/problem.ts";
import { ResistanceMass } from "../../../src/inference/resistance.ts";
import { type SharedPlace, seriesShown, shownChance } from "../path-leaves.ts";
import { chances, circuit, link, reading, walkOf } from "../small-walks.ts";

/**
 * Circuits of a contact or two, whose likelihoods and resistances are integrals over one or two
 * log-normals: by the trapezoidal rule in ln ohm, the displays by the model's own equations.
 */
const law = { sound: { medianOhms: 0.2, logSd: 0.8 }, fouled: { medianOhms: 60, logSd: 1.2 } };
const laws = {
  sound: [{ share: 1, ...law.sound }],
  fouled: [
    { share: 0.7, ...law.fouled },
    { share: 0.3, medianOhms: 8000, logSd: 2 },
  ],
};
const joint = (wireOhms: number, faults: Parameters<typeof chances>[0]) => ({
  ...link(wireOhms, chances(faults)),
  ...laws,
});
const quiet = { noise: 0.02, halfStep: 0.005, tails: 0.05, slope: 0.997, floor: 1e-5 };
const place: SharedPlace = { emf: 5, drift: 0, noiseScale: 1, source: 20, loads: [1000] };
const nuisance = { emf: [5], drift: 0, noiseScale: 1, sourceOhms: [20], loadOhms: [1000] };
const range: NuisanceRange = {
  ...{ emf: [[4.9, 5.1]], noiseScale: 0.8, sourceOhms: [[20, 20]], loadOhms: [[1000, 1000]] },
};

/** The integral of p(r) f(r) over a mixture of log-normals, 6 standard deviations either way. */
function over(
  mixture: readonly { share: number; medianOhms: number; logSd: number }[],
  f: (r: number) => number,
  steps = 4000,
): number {
  const h = 12 / steps;
  return mixture.reduce((sum, { share, medianOhms, logSd }) => {
    let part = 0;
    for (let i = 0; i <= steps; i++) {
      const z = i * h - 6;
      part +=
        ((h * Math.exp(-0.5 * z * z)) / Math.sqrt(2 * Math.PI)) *
        f(medianOhms * Math.exp(logSd * z));
    }
    return sum + share * part;
  }, 0);
}
const likely = (own: readonly ReadingProblem[], series: number): number =>
  own.reduce((p, one) => p * shownChance(one, seriesShown(place, one, series), 1), 1);

const modelOf = (path: CircuitProblem, within = range) =>
  circuitModel(walkOf([path]), path, within, emptyShelf(1000));
const faults = { fouled: 0.12, open: 0.012 };
const shown: readonly (readonly [string, readonly ReadingProblem[]])[] = [
  ["a sound path", [reading(0, 4.88, quiet)]],
  ["a fouled one", [reading(0, 4.5, quiet)]],
  ["half of all", [reading(0, 2.4, quiet)]],
  ["next to nothing", [reading(0, 0.03, quiet)]],
  ["nothing", [reading(0, 0, quiet)]],
  ["more than there is", [reading(0, 5, quiet)]],
  ["a display of 0.1 V steps", [reading(0, 4.5, { ...quiet, halfStep: 0.05 })]],
  ["a display of 1 V steps", [reading(0, 4, { ...quiet, halfStep: 0.5 })]],
  ["a noisy meter", [reading(0, 4.5, { ...quiet, noise: 0.2 })]],
  ["seven readings", Array.from({ length: 7 }, (_, i) => reading(i, 4.5 + 0.01 * (i % 3), quiet))],
  ["two that disagree", [reading(0, 4.5, quiet), reading(1, 4.2, quiet)]],
  ["one with an offset of its EMF", [reading(0, 4.4, { ...quiet, emfOffset: -0.1 })]],
];

/**
 * Worked out once, before any test: the likelihood of what was shown, and P(less than r ohm) by a table.
 */
const rows = shown.map(([name, own]) => {
  const table: { readonly r: number; readonly part: number }[] = [];
  const along = (r: number): number => likely(own, 3 + r);
  for (const [chance, mixture] of [
    [1 - 0.132, laws.sound],
    [0.12, laws.fouled],
  ] as const) {
    for (const { share, medianOhms, logSd } of mixture) {
      for (let z = -6; z < 6; z += 0.003) {
        const density = Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
        const r = medianOhms * Math.exp(logSd * z);
        table.push({ r, part: 0.003 * density * chance * share * along(r) });
      }
    }
  }
  table.sort((a, b) => a.r - b.r);
  const open = 0.012 * likely(own, Number.POSITIVE_INFINITY);
  const exact = table.reduce((sum, { part }) => sum + part, open);
  const under = (limit: number): number =>
    table.reduce((sum, { r, part }) => (r <= limit ? sum + part : sum), 0) / exact;
  return { name, own, exact, under };
});

/** P(the path's readings) on the model's mesh. */
function likelihoodOf(model: CircuitModel, path: CircuitProblem, at: Nuisance): number {
  const { mesh, shape, kernels } = model;
  const volts = seriesVolts(path, at);
  const points = pointLikelihoods(mesh, path.readings, volts, at.noiseScale, null, null);
  const { likelihood, logScale } = backward(shape, kernels, points, mesh.t.length);
  return likelihood[0]! * Math.exp(logScale);
}

describe("a contact that showed", () => {
  test.each(rows)("$name: its likelihood, on the mesh that is laid for it", ({ own, exact }) => {
    const path = circuit([joint(3, faults)], [own]);
    expect(Math.abs(likelihoodOf(modelOf(path), path, nuisance) / exact - 1)).toBeLessThan(0.006);
  });

  const elsewhere = ([4.88, 4.5, 2.4, 0.3] as const).flatMap((v) =>
    [
      { emf: 4.9, noise: 0.8 },
      { emf: 5.1, noise: 0.8 },
      { emf: 5.05, noise: 3 },
    ].map(({ emf, noise }) => {
      const one = reading(0, v, quiet);
      const at = (r: number) => shownChance(one, seriesShown({ ...place, emf }, one, 3 + r), noise);
      const exact =
        (1 - 0.132) * over(laws.sound, at) +
        0.12 * over(laws.fouled, at) +
        0.012 * at(Number.POSITIVE_INFINITY);
      return { v, emf, noise, exact };
    }),
  );

  test.each(elsewhere)(
    "one mesh serves a range of EMF and noise: $v V at $emf V, noise $noise",
    (own) => {
      const { v, emf, noise, exact } = own;
      const path = circuit([joint(3, faults)], [[reading(0, v, quiet)]]);
      const model = modelOf(path);
      const there = { ...nuisance, emf: [emf], noiseScale: noise };
      expect(Math.abs(likelihoodOf(model, path, there) / exact - 1)).toBeLessThan(0.006);
      // And takes no more nodes than some dozens of panels.
      expect(model.mesh.panels.length).toBeLessThan(60);
    },
  );

  test.each(rows.slice(0, 4))("$name: quantiles of its resistance", ({ own, under }) => {
    const path = circuit([joint(3, faults)], [own]);
    const model = modelOf(path);
    const size = model.mesh.t.length;
    const points = pointLikelihoods(
      ...([model.mesh, path.readings, seriesVolts(path, nuisance), 1, null, null] as const),
    );
    const messages = backward(model.shape, model.kernels, points, size);
    const mass = new ResistanceMass();
    let open = 0;
    wayOut(
      ...([model.shape, model.kernels, points, messages, size] as const),
      Float64Array.of(1 / messages.likelihood[0]!),
      {
        states: (_k, states) => {
          open = states[2]! + states[3]!;
        },
        point: () => {},
        contact: (k, weights) => mass.add(model, messages, k, weights, open, 1),
      },
    );
    const found = mass.quantiles([0.05, 0.25, 0.5, 0.75, 0.95]);
    for (const [k, p] of [0.05, 0.25, 0.5, 0.75, 0.95].entries()) {
      if (found[k] === Number.POSITIVE_INFINITY) {
        expect(under(1e200)).toBeLessThan(p + 0.002);
      } else expect(Math.abs(under(found[k]!) - p)).toBeLessThan(0.02);
    }
  });

  test("of two contacts each has its own resistance", () => {
    const own = [[reading(0, 4.7, quiet)], [reading(1, 4.3, quiet)]];
    const path = circuit([joint(3, { fouled: 0.5 }), joint(5, { fouled: 0.5, open: 0.1 })], own);
    const model = modelOf(path);
    const size = model.mesh.t.length;
    const points = pointLikelihoods(
      ...([model.mesh, own, seriesVolts(path, nuisance), 1, null, null] as const),
    );
    const messages = backward(model.shape, model.kernels, points, size);
    const masses = [new ResistanceMass(), new ResistanceMass()];
    let opened = [0, 0];
    wayOut(
      ...([model.shape, model.kernels, points, messages, size] as const),
      Float64Array.of(1 / messages.likelihood[0]!),
      {
        states: (k, states) => {
          opened = opened.with(k, states[2]! + states[3]!);
        },
        point: () => {},
        contact: (k, weights) => masses[k]!.add(model, messages, k, weights, opened[k]!, 1),
      },
    );
    // Both fouled, or the first sound: 4.7 V is 43.8 ohm, 4.3 V 142.8 in all. A film each, by readings that
    // tell them to a few percent.
    const [first, second] = masses.map((mass) => mass.quantiles([0.05, 0.5, 0.95]));
    expect(Math.abs(first![1]! - (5000 / 4.7 - 1020 - 3))).toBeLessThan(1);
    expect(Math.abs(second![1]! - (5000 / 4.3 - 5000 / 4.7 - 5))).toBeLessThan(2);
    // 5 % of the normal is 1.645 deviations: 0.02 V is 4.53 ohm at 4.7 V.
    expect(Math.abs(first![2]! - first![0]! - 2 * 1.645 * 4.6)).toBeLessThan(1.5);
  });
});

describe("quantiles without a reading", () => {
  test("are the law's own, the part that is open at infinity", () => {
    const mass = new ResistanceMass();
    mass.addPrior([{ share: 1, medianOhms: 60, logSd: 1.2 }], 0.9);
    mass.addUnseen({ sound: laws.sound, fouled: laws.fouled }, 0, 0, 0.1, 1);
    const [low, median, high] = mass.quantiles([0.045, 0.45, 0.95]);
    // Of 0.9 a twentieth and a half.
    expect(Math.log(low! / 60)).toBeCloseTo(-1.644854 * 1.2, 5);
    expect(median).toBeCloseTo(60, 4);
    expect(high).toBe(Number.POSITIVE_INFINITY);
  });

  test("of a mixture of both lie where both add to them", () => {
    const mass = new ResistanceMass();
    mass.addUnseen({ sound: laws.sound, fouled: [{ share: 1, ...law.fouled }] }, 0.5, 0.5, 0, 2);
    const [median] = mass.quantiles([0.5]);
    const under = (r: number) =>
      0.5 * over(laws.sound, (x) => (x <= r ? 1 : 0)) +
      0.5 * over([{ share: 1, ...law.fouled }], (x) => (x <= r ? 1 : 0));
    expect(Math.abs(under(median!) - 0.5)).toBeLessThan(0.002);
  });

  test("a law's density per ln ohm", () => {
    const z = Math.log(100 / 60) / 1.2;
    const one = Math.exp(-0.5 * z * z) / (1.2 * Math.sqrt(2 * Math.PI));
    expect(lawDensity([{ share: 1, ...law.fouled }], Math.log(100))).toBeCloseTo(one, 12);
    let sum = 0;
    for (let ln = -10; ln < 25; ln += 0.01) sum += 0.01 * lawDensity(laws.fouled, ln);
    expect(sum).toBeCloseTo(1, 6);
  });
});

describe("where an axis is cut and where it ends", () => {
  const pathOf = (own: readonly ReadingProblem[], limitOhms: number | null = null) =>
    circuit([joint(3, faults)], [own], { limitOhms });

  test("around the resistance that shows what was read, a noise wide", () => {
    // 5 V x 1000 / 4.5 V - 1023 = 88.1 ohm; folded at 1000: 0.0810.
    const [main] = circuitFeatures(pathOf([reading(0, 4.5, quiet)]), 1000, {
      ...range,
      emf: [[5, 5]],
      noiseScale: 1,
    });
    const u = 88.11 / 1088.11;
    expect(main!.low).toBeLessThanOrEqual(u);
    expect(main!.high).toBeGreaterThanOrEqual(u);
    // dV/dt = 5000 / (1111.1)^2 V an ohm, du/dt = 1000 / (1088.1)^2.
    const width = (0.02 / (5000 / 1111.1 ** 2)) * (1000 / 1088.1 ** 2);
    expect(main!.width / width).toBeGreaterThan(0.6);
    expect(main!.width / width).toBeLessThan(1.5);
  });

  test("at the limit, but not where copper alone is over it", () => {
    const none = circuitFeatures(pathOf([]), 1000, range);
    expect(none).toEqual([]);
    const [limit] = circuitFeatures(pathOf([], 41.7), 1000, range);
    const u = 38.7 / 1038.7;
    expect(limit).toEqual({ low: u, high: u, width: 0.25 * u * (1 - u) });
    expect(circuitFeatures(pathOf([], 2), 1000, range)).toEqual([]);
  });

  test("it ends eighteen widths beyond the last reading's place, nowhere where the end was not read", () => {
    const features = [
      { low: 0.1, high: 0.2, width: 0.01 },
      { low: 0.3, high: 0.3, width: 0.002 },
    ];
    expect(axisEnd(pathOf([reading(0, 4.5, quiet)]), features)).toBeCloseTo(0.38, 12);
    expect(axisEnd(pathOf([reading(0, 4.5)]), [{ low: 0.9, high: 0.95, width: 0.1 }])).toBe(1);
    expect(axisEnd(pathOf([]), features)).toBe(1);
  });
});

test("meshes and kernels of like circuits are kept, those of a pool that has many are let go", () => {
  const shelf = emptyShelf(1000);
  const walk = walkOf([circuit([joint(3, faults)], [[reading(0, 4.5, quiet)]])]);
  const at = (v: number) => {
    const path = circuit([joint(3, faults)], [[reading(0, v, quiet)]]);
    return circuitModel(walk, path, range, shelf);
  };
  const [first, again, other] = [at(4.5), at(4.5), at(3.1)];
  expect(again.mesh).toBe(first.mesh);
  expect(again.kernels.sound[0]).toBe(first.kernels.sound[0]);
  expect(other.mesh).not.toBe(first.mesh);
  expect(first.kernels.fouled[0]).not.toBe(first.kernels.sound[0]);
  for (let k = 0; k < 2100; k++) at(0.5 + 0.002 * k);
  expect(shelf.meshes.size).toBeLessThanOrEqual(2002);
});

describe("ways of a circuit", () => {
  const path = circuit(
    [joint(3, { ...faults, intermittent: 0.05 })],
    [[reading(0, 4.5, quiet), reading(1, 0, quiet)]],
    {
      conducting: [
        { kind: "stuck", link: 0, chance: 0.1, medianOhms: 2, logSd: 1 },
        { kind: "wet", link: 0, chance: 0.2, medianOhms: 2000, logSd: 1 },
      ],
    },
  );
  const model = modelOf(path);
  const display = {
    own: [
      { chance: 0.9, off: [] },
      { chance: 0.1, off: [1] },
    ],
    sharedZeros: new Set<number>(),
  };
  const likelihoodOf = (ways: ReturnType<typeof seriesWays>) => {
    const { logScale, values } = sumWays(ways);
    return values[0]! * Math.exp(logScale);
  };

  test("add what was shown and what a display that was off hid, by their chances", () => {
    const ways = seriesWays(model, display, nuisance, [], [0, 0]);
    const [on, off] = [[], [1]].map((hidden) =>
      likelihoodOf(
        seriesWays(model, { ...display, own: [{ chance: 1, off: hidden }] }, nuisance, [], [0, 0]),
      ),
    );
    expect(likelihoodOf(ways)).toBeCloseTo(0.9 * on! + 0.1 * off!, 12);
    expect(ways.map((way) => way.off)).toEqual([[], [1]]);
    // Nothing conducts: 1 - 0.1 - 0.2 of the chance.
    expect(ways[0]!.chance).toBeCloseTo(0.7 * 0.9, 12);
    // The zero of another run that was off is left out of all.
    const other = seriesWays(model, { ...display, own: [display.own[0]!] }, nuisance, [1], [0, 0]);
    expect(likelihoodOf(other)).toBeCloseTo(0.9 * off!, 12);
  });

  test("what conducts and can't be told has its part of them", () => {
    const [way] = seriesWays(model, display, nuisance, [], [0.05, 0.25]);
    expect(way!.chance).toBeCloseTo(0.9, 12);
    expect(way!.conducting[0]).toBeCloseTo(0.05, 12);
    expect(way!.conducting[1]).toBeCloseTo(0.25, 12);
  });

  test("contacts that come and go count as sound where that is asked", () => {
    const steady = seriesWays(model, display, nuisance, [], [0, 0], { steady: true, apart: false });
    expect(steady[0]!.points.shaky).toBeNull();
    const asked = seriesWays(model, display, nuisance, [], [0, 0]);
    expect(asked[0]!.points.shaky).not.toBeNull();
    expect(likelihoodOf(asked)).not.toBeCloseTo(likelihoodOf(steady), 12);
  });

  test("patterns add up by their chances, and are one where that is asked", () => {
    const [bad, good] = [chances({ fouled: 0.8 }), chances({ fouled: 0.05 })];
    const patterns = [
      { chance: 0.3, states: [[bad, bad] as const] },
      { chance: 0.7, states: [[good, good] as const] },
    ];
    const both = { ...path, patterns };
    const coupled = modelOf(both);
    expect(shapesOf(coupled).map(({ chance }) => chance)).toEqual([0.3, 0.7]);
    const own = { ...display, own: [{ chance: 1, off: [] }] };
    const sum = likelihoodOf(seriesWays(coupled, own, nuisance, [], [0, 0]));
    const each = patterns.map(({ chance, states: [states] }) => {
      const alone = modelOf({ ...path, links: [{ ...path.links[0]!, states: states! }] });
      return chance * likelihoodOf(seriesWays(alone, own, nuisance, [], [0, 0]));
    });
    // Neither pattern comes and goes, the link by itself does: that of the mesh stays.
    expect(Math.abs(sum / (each[0]! + each[1]!) - 1)).toBeLessThan(1e-6);
    expect(
      seriesWays(coupled, own, nuisance, [], [0, 0], { steady: false, apart: true }),
    ).toHaveLength(1);
  });

  test("weights turn a posterior into what each way has of it", () => {
    const sum = sumWays(seriesWays(model, display, nuisance, [], [0, 0]));
    const parts = sum.ways.map((way) => {
      const [weight] = wayWeights(sum, way, Float64Array.of(0.6));
      return weight! * way.messages.likelihood[0]!;
    });
    // What all ways have adds to the configuration's own.
    expect(parts.reduce((a, b) => a + b, 0)).toBeCloseTo(0.6, 12);
    const [first] = sum.ways;
    expect(factorOf(first!, first!.messages.logScale)).toBeCloseTo(first!.chance, 12);
    expect(factorOf(first!, first!.messages.logScale + 1)).toBeCloseTo(first!.chance / Math.E, 12);
    expect(wayWeights(sum, first!, Float64Array.of(0))[0]).toBe(0);
  });
});
