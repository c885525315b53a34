import { describe, expect, test } from "vitest";
import { loopSketch } from "../../../src/inference/conducting/loop-sketch.ts";
import { nestOf } from "../../../src/inference/nest/nest.ts";
import { conductingSketch } from "../../../src/inference/nuisance/conducting-sketch.ts";
import {
  circuitSketch,
  hasLoops,
  looksSound,
  marginalFaults,
  sketchParts,
  totalOf,
} from "../../../src/inference/nuisance/sketch.ts";
import { sourceLoops } from "../../../src/inference/nuisance/source-loops.ts";
import { walkSketch } from "../../../src/inference/nuisance/walk-sketch.ts";
import {
  type CircuitProblem,
  type ConductingProblem,
  exactOhms,
  type WalkProblem,
} from "../../../src/inference/problem.ts";
import { shownChance } from "../path-leaves.ts";
import { chances, circuit, link, reading, walkOf } from "../small-walks.ts";

/**
 * Sketches take a sound contact for 0.28 ohm and a display for a density: here the same paths by
 * Kirchhoff's laws, what conducts and what has fouled integrated by the trapezoidal rule over ln ohm.
 */
const SOUND = 0.28;
const fine = { noise: 0.02, halfStep: 0.005, tails: 0, slope: 1, floor: 1e-12 };
const nuisance = { emf: [5], drift: 0, noiseScale: 1, sourceOhms: [50], loadOhms: [1000] };
const film = [{ share: 1, medianOhms: 60, logSd: 1 }];
const contact = (faults: Parameters<typeof chances>[0]) => ({
  ...link(1, chances(faults)),
  fouled: film,
});
const links = [
  contact({ fouled: 0.1 }),
  contact({ fouled: 0.05, open: 0.01 }),
  contact({ fouled: 0.2 }),
];
const leak: ConductingProblem = {
  kind: "leaking",
  link: 1,
  chance: 0.1,
  medianOhms: 500,
  logSd: 1,
};
const pathOf = (rows: readonly (readonly number[])[], over: Partial<CircuitProblem> = {}) => {
  let index = 0;
  return circuit(
    links,
    rows.map((row) => row.map((v) => reading(index++, v, fine))),
    {
      conducting: [leak],
      ...over,
    },
  );
};

/** Source, copper and contacts up to a link, one of them fouled. */
const upTo = (k: number, fault = -1, added = 0): number =>
  50 + (k + 1) * (1 + SOUND) + (fault >= 0 && fault <= k ? added : 0);
/** What is shown at link k while `rd` conducts behind the second. */
function shownAt(k: number, rd: number, fault = -1, added = 0): number {
  const joint = upTo(1, fault, added);
  if (k > 1) {
    const more = upTo(k, fault, added) - joint;
    const beside = (rd * (1000 + more)) / (rd + 1000 + more);
    return ((5 * beside) / (beside + joint)) * (1000 / (1000 + more));
  }
  const before = upTo(k, fault, added);
  const rest = joint - before + rd;
  const beside = (rest * 1000) / (rest + 1000);
  return (5 * beside) / (beside + before);
}
const VARIANCE = 0.02 ** 2 + 0.005 ** 2 / 3;
/** A display's density times its step. */
const shows = (shown: number, volts: number, variance = VARIANCE): number =>
  (0.01 * Math.exp((-0.5 * (shown - volts) ** 2) / variance)) / Math.sqrt(2 * Math.PI * variance);
/** Over a log-normal, evenly in its z. */
const over = (
  medianOhms: number,
  logSd: number,
  of: (ohms: number) => number,
  count = 4001,
): number => {
  const step = 12 / (count - 1);
  return Array.from({ length: count }, (_, i) => i * step - 6).reduce(
    (sum, z) =>
      sum +
      ((step * Math.exp(-0.5 * z * z)) / Math.sqrt(2 * Math.PI)) *
        of(medianOhms * Math.exp(logSd * z)),
    0,
  );
};

describe("a circuit that conducts, by a few steps of Newton", () => {
  test.each([
    [300, [[], [1], []]],
    [300, [[1], [], []]],
    [1500, [[], [], [1]]],
    [80, [[1], [1, 1], [1]]],
  ] as const)("what is %d ohm, read at %j", (rd, where) => {
    const rows = where.map((row, k) => row.map((_, i) => shownAt(k, rd) + 0.01 * i));
    const found = conductingSketch(pathOf(rows))(nuisance);
    const exact = over(500, 1, (own) =>
      rows.reduce((p, row, k) => row.reduce((q, v) => q * shows(v, shownAt(k, own)), p), 1),
    );
    // Laplace's approximation of a hill that is nearly normal in ln ohm.
    expect(Math.abs(found / (0.1 * exact) - 1)).toBeLessThan(0.03);
  });

  test("several that may conduct add up, by their chances", () => {
    const rows = [[], [shownAt(1, 300)], []];
    const one = conductingSketch(pathOf(rows))(nuisance);
    const alike = { ...leak, kind: "wet" as const, chance: 0.3 };
    expect(conductingSketch(pathOf(rows, { conducting: [leak, alike] }))(nuisance)).toBeCloseTo(
      4 * one,
      12,
    );
    const other = { ...leak, medianOhms: 2, chance: 0.3 };
    expect(conductingSketch(pathOf(rows, { conducting: [leak, other] }))(nuisance)).toBeGreaterThan(
      one,
    );
  });

  test("of nothing read there is nothing", () => {
    expect(conductingSketch(pathOf([[], [], []]))(nuisance)).toBe(0);
  });

  test("noise and EMF are the walk's", () => {
    const rows = [[], [shownAt(1, 300)], []];
    const loud = { ...nuisance, noiseScale: 3, emf: [4.9] };
    const variance = (3 * 0.02) ** 2 + 0.005 ** 2 / 3;
    const exact = over(500, 1, (own) => shows(rows[1]![0]!, shownAt(1, own) * (4.9 / 5), variance));
    expect(Math.abs(conductingSketch(pathOf(rows))(loud) / (0.1 * exact) - 1)).toBeLessThan(0.05);
  });
});

describe("where the loop of a circuit is that conducts", () => {
  const none = new Map<number, number>();
  const faultsOf = (path: CircuitProblem) => marginalFaults(walkOf([path]), path);
  /** Noise is wider by 0.2 ohm a sound contact: next to nothing of a loop of hundreds. */
  test.each([
    [300, [[], [1], []]],
    [700, [[1], [1], []]],
  ] as const)("of a sound path, what is %d ohm", (rd, where) => {
    const rows = where.map((row, k) => row.map(() => shownAt(k, rd)));
    const path = pathOf(rows);
    const { logLikelihood, loops } = loopSketch(path, leak, nuisance, faultsOf(path), false, none);
    const likely = (own: number) =>
      rows.reduce((p, row, k) => row.reduce((q, v) => q * shows(v, shownAt(k, own)), p), 1);
    const exact = 0.9 * 0.94 * over(500, 1, likely);
    expect(Math.abs(Math.exp(logLikelihood) / exact - 1)).toBeLessThan(0.05);
    expect(loops.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 4);
    const mean = loops.reduce((sum, { ohms, share }) => sum + ohms * share, 0);
    const meanRd = over(500, 1, (own) => own * likely(own)) / over(500, 1, likely);
    expect(Math.abs(mean - (upTo(1) + meanRd))).toBeLessThan(0.02 * meanRd);
  });

  test("of a path of which a contact may have fouled", () => {
    // 200 ohm of film at the second contact, in front of a leak of 300: both points tell both.
    const rows = [[shownAt(0, 300, 1, 200)], [shownAt(1, 300, 1, 200)], []];
    const path = pathOf(rows);
    const faults = faultsOf(path);
    const faulty = loopSketch(path, leak, nuisance, faults, true, none);
    const sound = loopSketch(path, leak, nuisance, faults, false, none);
    expect(faulty.logLikelihood).toBeGreaterThan(sound.logLikelihood + 5);
    const both = (rd: number, own: number): number =>
      shows(rows[0]![0]!, shownAt(0, rd, 1, own)) * shows(rows[1]![0]!, shownAt(1, rd, 1, own));
    const exact = 0.9 * 0.05 * over(500, 1, (rd) => over(60, 1, (own) => both(rd, own), 401), 401);
    expect(Math.abs(faulty.logLikelihood - Math.log(exact))).toBeLessThan(0.4);
    const mean = faulty.loops.reduce((sum, { ohms, share }) => sum + ohms * share, 0);
    expect(Math.abs(mean / (upTo(1) + 500) - 1)).toBeLessThan(0.1);
  });

  /** Chances of contacts of which the first is sound for certain. */
  const certain = [
    { fouled: 0, sound: 1 },
    { fouled: 0.5, sound: 0.5 },
    { fouled: 0.2, sound: 0.7 },
  ];

  test("a fault that nothing tells from what conducts is part of the loop", () => {
    // Read in front of the second contact alone: 250 ohm of loop behind it, whatever they are.
    const rows = [[shownAt(0, 700)], [], []];
    const seen = (rd: number) => shows(rows[0]![0]!, shownAt(0, rd));
    const exact = 0.5 * over(500, 1, seen) + 0.5 * over(60, 1, (own) => seen(500 + own));
    const { logLikelihood, loops } = loopSketch(pathOf(rows), leak, nuisance, certain, true, none);
    // Looked at at a few places alone: near enough to say whether it counts.
    expect(Math.abs(Math.exp(logLikelihood) / exact - 1)).toBeLessThan(0.4);
    const mean =
      (0.5 * over(500, 1, (rd) => rd * seen(rd)) +
        0.5 * over(60, 1, (own) => (500 + own) * seen(500 + own))) /
      exact;
    const found = loops.reduce((sum, { ohms, share }) => sum + ohms * share, 0);
    expect(Math.abs(found / (upTo(1) + mean) - 1)).toBeLessThan(0.05);
  });

  test("read behind it alone, the contact there fouled or open by its chances", () => {
    for (const [shown, dead] of [
      [shownAt(2, 400), 1e-12],
      [shownAt(2, 90), 1e-12],
    ] as const) {
      const path = pathOf([[], [], [shown]]);
      // Fouled behind a leak it shows anything less: 0.03 a volt of a step of 0.01.
      const lower = dead + 0.03 * 0.01;
      const exact =
        0.5 * over(500, 1, (rd) => shows(shown, shownAt(2, rd)) + 0.1 * dead + 0.2 * lower);
      const { logLikelihood } = loopSketch(path, leak, nuisance, certain, false, none);
      expect(Math.abs(Math.exp(logLikelihood) / exact - 1)).toBeLessThan(0.05);
    }
    // A zero there is open, or fouled as far as that: nothing lies under it.
    const zero = shownChance(reading(0, 0, fine), 0, 1);
    const { logLikelihood } = loopSketch(
      pathOf([[], [], [0]]),
      leak,
      nuisance,
      certain,
      false,
      none,
    );
    expect(Math.abs(Math.exp(logLikelihood) / (0.5 * 0.3 * zero) - 1)).toBeLessThan(0.05);
  });

  test("behind a leak two readings fall together where a contact in front of both has its fault", () => {
    const two = { ...leak, link: 0 };
    const level = [0.6, 0.6];
    const path = pathOf([[], [level[0]!], [level[1]!]], { conducting: [two] });
    // 3e-4 for each; by the second contact's chance of 0.5, then the third's of 0.2 after what the second shows.
    const lower = 0.03 * 0.01;
    const { logLikelihood } = loopSketch(path, two, nuisance, certain, false, none);
    const least = 0.5 * lower * lower;
    expect(Math.exp(logLikelihood)).toBeGreaterThan(0.9 * least);
  });

  test("of a small loop what sound contacts may have counts as noise", () => {
    // Behind 50 ohm a stuck switch of 2: a deviation of 0.2 ohm a contact is 5 x 0.2 / 55 V.
    const stuck = { ...leak, medianOhms: 2, logSd: 1 };
    const shown = shownAt(1, 2);
    const exact =
      0.5 *
      over(2, 1, (rd) => {
        const spread = (5 * 0.2 * Math.SQRT2) / (upTo(1) + rd);
        return shows(shown, shownAt(1, rd), 0.02 ** 2 + spread ** 2 + 0.005 ** 2 / 3);
      });
    const { logLikelihood } = loopSketch(
      ...([pathOf([[], [shown], []]), stuck, nuisance, certain, false, none] as const),
    );
    expect(Math.abs(Math.exp(logLikelihood) / exact - 1)).toBeLessThan(0.05);
  });

  test("a narrow hill between the places that are looked at first is found", () => {
    // A meter of 2 mV: of 25 ohm a hundredth.
    const sharp = { ...fine, noise: 0.002, halfStep: 0.0005 };
    const rows = [[], [reading(0, shownAt(1, 2500), sharp)], []];
    const path = circuit(links, rows, { conducting: [leak] });
    const variance = (rd: number) =>
      0.002 ** 2 + ((5 * 0.2 * Math.SQRT2) / (upTo(1) + rd)) ** 2 + 0.0005 ** 2 / 3;
    const exact =
      0.5 *
      over(500, 1, (rd) => 0.1 * shows(shownAt(1, 2500), shownAt(1, rd), variance(rd)), 20_001);
    const { logLikelihood } = loopSketch(path, leak, nuisance, certain, false, none);
    expect(Math.abs(Math.exp(logLikelihood) / exact - 1)).toBeLessThan(0.05);
  });

  test("a zero that a display which was off may have left counts as that", () => {
    const path = pathOf([[], [shownAt(1, 300), 0], []]);
    const faults = faultsOf(path);
    const on = loopSketch(path, leak, nuisance, faults, false, none).logLikelihood;
    const off = loopSketch(path, leak, nuisance, faults, false, new Map([[1, 0.01]])).logLikelihood;
    const alone = loopSketch(
      pathOf([[], [shownAt(1, 300)], []]),
      leak,
      nuisance,
      faults,
      false,
      none,
    );
    expect(off - on).toBeGreaterThan(10);
    expect(off).toBeCloseTo(alone.logLikelihood + Math.log(0.01), 2);
  });

  test("behind a leak the path may have its own fault", () => {
    const good = loopSketch(
      pathOf([[], [shownAt(1, 300)], [shownAt(2, 300)]]),
      ...([leak, nuisance, faultsOf(pathOf([[], [], []])), false, none] as const),
    );
    const dead = loopSketch(
      pathOf([[], [shownAt(1, 300)], [0]]),
      ...([leak, nuisance, faultsOf(pathOf([[], [], []])), false, none] as const),
    );
    const low = loopSketch(
      pathOf([[], [shownAt(1, 300)], [1.2]]),
      ...([leak, nuisance, faultsOf(pathOf([[], [], []])), false, none] as const),
    );
    // Where the third contact has fouled, chance 0.2, anything lower may be shown: some 0.03 a volt.
    expect(low.logLikelihood).toBeLessThan(good.logLikelihood);
    expect(low.logLikelihood - good.logLikelihood).toBeGreaterThan(-12);
    expect(dead.logLikelihood - good.logLikelihood).toBeGreaterThan(-12);
    const at = (found: typeof low) =>
      found.loops.reduce((sum, { ohms, share }) => sum + ohms * share, 0);
    expect(Math.abs(at(low) / at(good) - 1)).toBeLessThan(0.05);
  });
});

test("a fault that no reading tells from what conducts is found where both together are", () => {
  // Read in front of the second contact, behind which 500 ohm conduct: a film in it adds to them.
  const sharp = { ...fine, noise: 0.002, halfStep: 0.0005 };
  const faults = [
    { fouled: 0, sound: 0.9 },
    { fouled: 0.5, sound: 0.001 },
  ];
  for (const film of [60, 150, 400, 1500]) {
    const shown = shownAt(0, 500 + film);
    const path = circuit(links.slice(0, 2), [[reading(0, shown, sharp)], []]);
    const likelihood = (rd: number) => {
      // A sound contact's 0.2 ohm widen the noise.
      const variance = 0.002 ** 2 + ((5 * 0.2) / (upTo(1) + rd)) ** 2 + 0.0005 ** 2 / 3;
      return shows(shown, shownAt(0, rd), variance) / 10;
    };
    const exact =
      0.9 * (0.001 * over(500, 1, likelihood) + 0.5 * over(60, 1, (own) => likelihood(500 + own)));
    const { logLikelihood } = loopSketch(path, leak, nuisance, faults, true, new Map());
    expect(Math.abs(logLikelihood - Math.log(exact))).toBeLessThan(0.05);
  }
});

describe("a path without a loop", () => {
  const parts = (rows: readonly (readonly number[])[], lowerOnly = false) => {
    const path = pathOf(rows, { conducting: [] });
    return sketchParts(walkOf([path]), path, lowerOnly)(nuisance);
  };
  const series = (k: number, fault = -1, added = 0) => 5000 / (1000 + upTo(k, fault, added));

  test("sound, each contact fouled first, each open first", () => {
    const rows = [[series(0)], [series(1)], [series(2)]];
    const { sound, fouled, open } = parts(rows);
    const own = [0, 1, 2].map((k) => shows(series(k), series(k)));
    const product = own.reduce((p, x) => p * x, 1);
    expect(sound / (0.9 * 0.94 * 0.8 * product)).toBeCloseTo(1, 6);
    expect(fouled).toHaveLength(3);
    expect(open[0]).toBe(0);
    // Nothing shows 4.7 V behind an open contact but a value that was misread.
    expect(open[1]).toBeLessThan(1e-20);
    expect(totalOf({ sound, fouled, open })).toBeCloseTo(
      sound + fouled.reduce((a, b) => a + b, 0) + open.reduce((a, b) => a + b, 0),
      12,
    );
    expect(looksSound({ sound, fouled, open })).toBe(true);
    expect(
      looksSound({ sound: 0.79, fouled: Float64Array.of(0.21), open: new Float64Array(1) }),
    ).toBe(false);
  });

  test("a fouled contact is as likely as its law has it where its first reading puts it", () => {
    // 150 ohm at the second contact, read behind it and at the end.
    const rows = [[series(0)], [series(1, 1, 150)], [series(2, 1, 150)]];
    const { sound, fouled } = parts(rows, true);
    // A contact takes the place of a sound one.
    const exact =
      0.9 *
      0.05 *
      shows(rows[0]![0]!, series(0)) *
      over(60, 1, (film) => {
        const added = film - SOUND;
        return shows(rows[1]![0]!, series(1, 1, added)) * shows(rows[2]![0]!, series(2, 1, added));
      });
    expect(sound).toBeLessThan(1e-6 * fouled[1]!);
    // The second reading is taken where the first puts the contact: as if it knew it for sure.
    expect(Math.abs(Math.log(fouled[1]! / exact) - 0.5 * Math.LN2)).toBeLessThan(0.1);
  });

  test("zeros at the end are an open contact, or a display that was off", () => {
    const path = pathOf([[series(0)], [0], [0]], { conducting: [] });
    const run = { readings: [1, 2], off: [0.01, 0.01], stays: 0.5, followed: false };
    const walk = { ...walkOf([path]), zeroRuns: [run] };
    const [without, withOff] = [walkOf([path]), walk].map((one) =>
      sketchParts(one, path)(nuisance),
    );
    const zero = shownChance(reading(0, 0, fine), 0, 1) ** 2;
    expect(without!.open[1]! / (0.9 * 0.01 * shows(series(0), series(0)) * zero)).toBeCloseTo(1, 4);
    expect(without!.sound).toBeLessThan(1e-20);
    expect(withOff!.sound).toBeGreaterThan(1e-6 * withOff!.open[1]!);
  });

  test("chances of a contact, its body's state summed out", () => {
    const shared = {
      ...links[0]!,
      body: 0,
      states: [
        chances({ fouled: 0.1, open: 0.02 }),
        chances({ fouled: 0.6, open: 0.05, cable: 0.01 }),
      ],
    } as (typeof links)[number];
    const path = circuit([shared, links[1]!], [[], []]);
    const walk = { ...walkOf([path]), bodies: [{ contaminated: 0.25 }] };
    const [first, second] = marginalFaults(walk, path);
    expect(first!.fouled).toBeCloseTo(0.75 * 0.1 + 0.25 * 0.6, 12);
    expect(first!.open).toBeCloseTo(0.75 * 0.02 + 0.25 * 0.06, 12);
    expect(first!.sound).toBeCloseTo(1 - first!.fouled - first!.open, 12);
    expect(second).toMatchObject({ fouled: 0.05, open: 0.01 });
    expect(second!.sound).toBeCloseTo(0.94, 12);
  });

  test("a circuit's sketch adds what conducts: its own loop in a small walk, a flat part else", () => {
    const path = pathOf([[], [shownAt(1, 300)], []]);
    const few = walkOf([path]);
    const many = walkOf([path, path, path, path]);
    expect([hasLoops(few), hasLoops(many)]).toEqual([true, false]);
    const bare = totalOf(sketchParts(few, path)(nuisance));
    const flat = 0.1 * 2e-3;
    expect(circuitSketch(many, path)(nuisance)).toBeCloseTo(Math.log(bare + flat), 9);
    const looped = conductingSketch(path)(nuisance);
    expect(circuitSketch(few, path)(nuisance)).toBeCloseTo(Math.log(bare + looped + flat), 9);
  });
});

test("a walk's sketch is its circuits', summed over the states of the bodies they share", () => {
  const states = [chances({ fouled: 0.1, open: 0.02 }), chances({ fouled: 0.6 })] as const;
  const own = (body: number | null, k: number) => ({ ...links[k]!, body, states });
  const paths = [
    [own(0, 0), own(1, 1), own(null, 2)],
    [own(0, 0), own(1, 1), own(2, 2)],
    [own(0, 0), own(null, 1)],
  ].map((chain, c) =>
    circuit(
      chain,
      chain.map((_, k) => [reading(3 * c + k, 4.5 - 0.1 * k, fine)]),
      { conducting: [leak] },
    ),
  );
  const walk = { ...walkOf(paths), bodies: [0.2, 0.05, 0.3].map((p) => ({ contaminated: p })) };
  let sum = 0;
  for (let state = 0; state < 8; state++) {
    const bits = walk.bodies.map((_, b) => (state >> b) & 1);
    const chance = walk.bodies.reduce((p, { contaminated: q }, b) => p * (bits[b] ? q : 1 - q), 1);
    const given = { ...walk, bodies: bits.map((contaminated) => ({ contaminated })) };
    const logs = paths.map((one) => circuitSketch(given, one)(nuisance));
    sum += chance * Math.exp(logs.reduce((a, b) => a + b, 0));
  }
  expect(walkSketch(walk, nestOf(walk)).at(nuisance)).toBeCloseTo(Math.log(sum), 9);
});

describe("what stuck switches say of a source", () => {
  const stuck: ConductingProblem = {
    kind: "stuck",
    link: 2,
    chance: 0.05,
    medianOhms: 2,
    logSd: 1,
  };
  const full = [[5000 / 1051.28], [5000 / 1052.56], [5000 / 1053.84]];
  const through = (k: number, source: number) => {
    const before = source + (k + 1) * (1 + SOUND);
    const rest = (2 - k) * (1 + SOUND) + 2;
    const beside = (rest * 1000) / (rest + 1000);
    return (5 * beside) / (beside + before);
  };
  const sound = pathOf(full, { conducting: [stuck] });
  const low = pathOf(
    [0, 1, 2].map((k) => [through(k, 50)]),
    { conducting: [stuck] },
  );
  const gainOf = (walk: WalkProblem, sources: readonly number[] = [10, 50, 200]) =>
    sourceLoops(
      walk,
      walkSketch(walk, nestOf(walk)),
      sources.map((ohms) => ({ ...nuisance, sourceOhms: [ohms] })),
    );
  const known = { supplies: [{ emf: 5, emfSd: 0.05, sourceOhms: exactOhms(50) }] };

  test("nothing where nothing conducts, or the sketches have it", () => {
    expect(gainOf(walkOf([sound, sound, sound, sound], known), [50])).toBeNull();
    expect(gainOf(walkOf([low, sound, sound, sound], known), [])).toBeNull();
    expect(gainOf(walkOf([low, low, low], known))).toBeNull();
  });

  test("the source that shows what they show gains, by the loop's own likelihood", () => {
    const walk = walkOf([low, sound, sound, sound], known);
    const gain = gainOf(walk)!;
    const at = (ohms: number) => {
      const there = { ...nuisance, sourceOhms: [ohms] };
      return circuitSketch(walk, low)(there) + gain(there);
    };
    expect(at(50)).toBeGreaterThan(at(20) + 3);
    expect(at(50)).toBeGreaterThan(at(150) + 3);
    // Of the one circuit: ln of (what it is without a loop, and with one) over its sketch.
    const faults = marginalFaults(walk, low);
    const looped =
      0.05 * Math.exp(loopSketch(low, stuck, nuisance, faults, false, new Map()).logLikelihood);
    const all = totalOf(sketchParts(walk, low, true)(nuisance)) + looped;
    expect(Math.abs(at(50) - Math.log(all))).toBeLessThan(0.2);
  });

  test("two circuits of one source gain twice, or more where a body at the timer ties them", () => {
    const one = gainOf(walkOf([low, sound, sound, sound], known))!(nuisance);
    const two = gainOf(walkOf([low, low, sound, sound], known))!(nuisance);
    expect(two).toBeCloseTo(2 * one, 3);
  });
});
