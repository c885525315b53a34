import { describe, expect, test } from "vitest";
import { walkFit } from "../../../src/diagnosis/fit/walk-fit.ts";
import { mixedUp } from "../../../src/diagnosis/rivals/mixed-up.ts";
import { movingSupply } from "../../../src/diagnosis/rivals/supply-scan.ts";
import { weighRivals } from "../../../src/diagnosis/rivals/weigh-rivals.ts";
import { emptyShelf } from "../../../src/inference/chain/circuit-model.ts";
import { infer } from "../../../src/inference/infer.ts";
import type { LinkProblem, ReadingProblem, WalkProblem } from "../../../src/inference/problem.ts";
import { chances, circuit, link, reading, walkOf } from "../../inference/small-walks.ts";
import { drawModelWalk, seededUniform } from "../fit/model-walks.ts";

/** Ten circuits on which everything is sound: every display shows 5 V less `volts`, and noise. */
function soundWalk(volts: (reading: ReadingProblem) => number): WalkProblem {
  const walk = drawModelWalk(5, 2, seededUniform(11));
  const wobble = [0, 0.01, -0.02, 0.02, -0.01, 0.01, 0, -0.01];
  return {
    ...walk,
    zeroRuns: [],
    circuits: walk.circuits.map((circuit) => ({
      ...circuit,
      conducting: [],
      readings: circuit.readings.map((row) =>
        row.map((reading) => {
          const shown = 4.99 - volts(reading) + wobble[reading.index % 8]!;
          return { ...reading, shown: Math.round(100 * shown) / 100 };
        }),
      ),
    })),
  };
}

test("a supply 0.15 V lower for four circuits is a step, and no connector's fault", {
  timeout: 60_000,
}, () => {
  const walk = soundWalk(({ index }) => (index >= 16 && index < 32 ? 0.15 : 0));
  const { rivals, found } = weighRivals(walk, emptyShelf(1000));
  const step = rivals.find(({ rival }) => rival.kind === "supply-steps")!;
  expect(step.probability).toBeGreaterThan(0.5);
  for (const p of found.bodyAtFault.values()) expect(p).toBeLessThan(0.5);
});

test("a steady walk has no rival likelier than the model", { timeout: 60_000 }, () => {
  const { rivals } = weighRivals(
    soundWalk(() => 0),
    emptyShelf(1000),
  );
  for (const { probability } of rivals) expect(probability).toBeLessThan(0.5);
});

/** One path of two contacts, on which nothing is misread: what is shown first is less than at its end. */
const fine = { noise: 0.02, halfStep: 0.005, tails: 0, floor: 1e-6 };
const pathOf = (states: ReturnType<typeof chances>, a: number, b: number, first = 0) =>
  circuit(
    [link(1, states), link(1, states)],
    [[reading(first, a, fine)], [reading(first + 1, b, fine)]],
  );
const swapped = walkOf([pathOf(chances({ fouled: 0.1 }), 4.4, 4.86)]);
const nuisance = { emf: [5], drift: 0, noiseScale: 1, sourceOhms: [20], loadOhms: [1000] };

test("of several kinds of rivals those worth it are weighed, the likeliest first", () => {
  // Conductors exchanged leave one contact at fault, points in the wrong order two.
  const states = chances({ fouled: 0.1, open: 0.01 });
  const shown = [
    [4.4, 4.86],
    [4.86, 4.38],
    [4.87, 4.86],
  ] as const;
  const walk = walkOf(
    shown.map(([a, b], c) => {
      const path = pathOf(states, a, b, 2 * c);
      const readings = path.readings.map((row, k) =>
        row.map((own) => ({ ...own, order: (2 * c + k) / 5 - 0.5 })),
      );
      return { ...path, readings };
    }),
    { driftSd: 0.01 },
  );
  const oddsOf = ({ logOdds, logRatio }: ReturnType<typeof mixedUp>[number]) => logOdds + logRatio;
  const all = [...mixedUp(walk, nuisance), ...movingSupply(walk, nuisance)];
  const expected = all
    .filter((one) => oddsOf(one) > Math.log(0.01))
    .toSorted((a, b) => oddsOf(b) - oddsOf(a))
    .slice(0, 4);
  const { rivals } = weighRivals(walk, emptyShelf(1000));
  expect(rivals.map(({ rival }) => rival.kind)).toEqual(expected.map(({ kind }) => kind));
  expect(rivals.map(({ rival }) => rival.kind).slice(0, 2)).toEqual(["crossed", "points-swapped"]);
});

describe("two points in the wrong order, the one rival of a lone circuit", () => {
  const plain = infer(swapped, emptyShelf(1000));
  const [rival] = mixedUp(swapped, nuisance);
  const other = infer(rival!.problem, emptyShelf(1000));
  // One pair of points: a chance of 0.005, by Bayes' rule over both evidences.
  const odds = 0.005 * Math.exp(other.logEvidence - plain.logEvidence);
  const p = odds / (1 + odds);

  test("has its chance by Bayes' rule", () => {
    const weighed = weighRivals(swapped, emptyShelf(1000));
    expect(weighed.rivals).toHaveLength(1);
    expect(weighed.rivals[0]!.rival.kind).toBe("points-swapped");
    expect(weighed.rivals[0]!.probability).toBeCloseTo(p, 9);
    expect(p).toBeGreaterThan(0.8);
  });

  test("and the walk says the mean of both, of all that was read so", () => {
    const { found, told, fit } = weighRivals(swapped, emptyShelf(1000));
    for (const [k, states] of found.circuits[0]!.states.entries()) {
      for (const [s, chance] of states.entries()) {
        const [own, swap] = [plain, other].map((way) => way.circuits[0]!.states[k]![s]!);
        expect(chance).toBeCloseTo((1 - p) * own! + p * swap!, 9);
      }
    }
    expect(found.logEvidence).toBeCloseTo(plain.logEvidence + Math.log(1 + odds), 9);
    // The walk as it stands does not fit: what follows it is told of the rival too.
    expect(walkFit(swapped, plain.readings).p).toBeLessThan(0.2);
    expect(told).toBe(found);
    expect(fit).toEqual(walkFit(swapped, found.readings));
  });

  test("also where only what walks after it ask is wanted", () => {
    const { rivals, told } = weighRivals(swapped, emptyShelf(1000), "readings");
    expect(rivals[0]!.probability).toBeCloseTo(p, 9);
    expect(told.logEvidence).toBeCloseTo(plain.logEvidence + Math.log(1 + odds), 9);
  });
});

describe("a walk that fits", () => {
  /** Circuits of one contact, two of which were read after each other 0.1 V lower than the rest. */
  const walkWith = (fouled: number) =>
    walkOf(
      [4.89, 4.9, 4.79, 4.78, 4.9, 4.89].map((shown, c) =>
        circuit([link(1, chances({ fouled }))], [[reading(c, shown, fine)]]),
      ),
    );
  const accusing = walkWith(0.4);

  test("is told as it stands, though a rival has a part in what it says", () => {
    const plain = infer(accusing, emptyShelf(1000));
    const { found, told, fit, rivals } = weighRivals(accusing, emptyShelf(1000));
    expect(walkFit(accusing, plain.readings).p).toBeGreaterThan(0.2);
    expect(rivals.map(({ rival }) => rival.kind)).toEqual(["supply-steps"]);
    expect(rivals[0]!.probability).toBeGreaterThan(0.001);
    expect(told.logEvidence).toBe(plain.logEvidence);
    expect(found.logEvidence).toBeGreaterThan(plain.logEvidence);
    expect(fit!.p).toBeGreaterThan(0.2);
  });

  test("is not asked for rivals where only what it says alone is wanted", () => {
    const { found, told, rivals } = weighRivals(accusing, emptyShelf(1000), "readings");
    expect(rivals).toEqual([]);
    expect(found).toBe(told);
  });

  test("weighs a rival by its kind's spread", () => {
    const plain = infer(accusing, emptyShelf(1000));
    const [weighed] = weighRivals(accusing, emptyShelf(1000)).rivals;
    const { rival, probability } = weighed!;
    const own = infer(rival.problem, emptyShelf(1000)).logEvidence;
    const odds = Math.exp(rival.logOdds + rival.logSpread + own - plain.logEvidence);
    expect(rival.logSpread).toBeLessThan(-1);
    expect(probability).toBeCloseTo(odds / (1 + odds), 9);
  });
});

describe("rivals of a walk that fits are asked for where somebody is accused", () => {
  /** Five sound contacts, the supply drifting by `drift` V; behind the first one that nobody read. */
  const drifting = (unread: readonly LinkProblem[], drift = 0.07, bodies: number[] = []) =>
    walkOf(
      Array.from({ length: 5 }, (_, c) => {
        const order = c / 4 - 0.5;
        const own = unread[c];
        const links = [link(1, chances({})), ...(own === undefined ? [] : [own])];
        const rows = links.map((__, k) =>
          k === 0 ? [reading(c, 4.88 + drift * order, { ...fine, order })] : [],
        );
        return circuit(links, rows);
      }),
      { driftSd: 0.01, bodies: bodies.map((contaminated) => ({ contaminated })) },
    );
  const kindsOf = (walk: WalkProblem) =>
    weighRivals(walk, emptyShelf(1000)).rivals.map(({ rival }) => rival.kind);
  const unread = (faults: Parameters<typeof chances>[0]) => drifting([link(1, chances(faults))]);

  test("not where all are sound", () => {
    expect(kindsOf(drifting([]))).toEqual([]);
  });

  test("a contact, whatever its fault may be", () => {
    expect(kindsOf(unread({ fouled: 0.51 }))).toEqual(["supply-drifts"]);
    expect(kindsOf(unread({ open: 0.51 }))).toEqual(["supply-drifts"]);
    expect(kindsOf(unread({ intermittent: 0.51 }))).toEqual(["supply-drifts"]);
    expect(kindsOf(unread({ fouled: 0.17, open: 0.17, intermittent: 0.17 }))).toEqual([
      "supply-drifts",
    ]);
    expect(kindsOf(unread({ fouled: 0.16, open: 0.16, intermittent: 0.16 }))).toEqual([]);
  });

  test("a body of which each contact is likelier sound", () => {
    // 1 - 0.7 x 0.7 = 0.51; 1 - 0.71 x 0.71 = 0.496.
    const shared = (fouled: number) => {
      const own = link(1, chances({ fouled }), 0);
      return drifting([own, own], 0.07, [0.5]);
    };
    expect(kindsOf(shared(0.3))).toEqual(["supply-drifts"]);
    expect(kindsOf(shared(0.29))).toEqual([]);
  });

  test("and no rival is run that could not come to a hundredth of the odds", () => {
    // Odds of 0.02, and a level walk speaks for the narrower law by some 1 in ln.
    expect(kindsOf(drifting([link(1, chances({ fouled: 0.6 }))], 0))).toEqual([]);
  });
});

test("rivals of less than one in a thousand leave what is said as it was", () => {
  const may = chances({ fouled: 0.1 });
  const walk = walkOf(
    [
      pathOf(may, 4.86, 4.85),
      pathOf(may, 3.9, 4.86, 2),
      pathOf(may, 4.86, 4.86, 4),
      pathOf(may, 4.85, 4.85, 6),
    ].map((own) => ({
      ...own,
      readings: own.readings.map((row) => row.map((one) => ({ ...one, floor: 0.0002 }))),
    })),
  );
  const { found, told, rivals, fit } = weighRivals(walk, emptyShelf(1000));
  const plain = infer(walk, emptyShelf(1000));
  expect(rivals.map(({ rival }) => rival.kind)).toEqual(["supply-steps"]);
  expect(rivals[0]!.probability).toBeLessThan(0.001);
  expect(found).toBe(told);
  expect(found.logEvidence).toBe(plain.logEvidence);
  expect(fit).toEqual(walkFit(walk, plain.readings));
});
