import { describe, expect, test } from "vitest";
import { type ExplainedWalk, explanationsOf } from "../../src/diagnosis/explanations.ts";
import { type PosedWalk, poseWalk } from "../../src/diagnosis/walk-problem.ts";
import { wrongLoad } from "../../src/diagnosis/wrong-load.ts";
import type { ContactFinding, Estimate } from "../../src/domain/findings.ts";
import type { Pool } from "../../src/domain/pool.ts";
import { volts } from "../../src/domain/units.ts";
import { emptyShelf } from "../../src/inference/chain/circuit-model.ts";
import { infer } from "../../src/inference/infer.ts";
import { exactOhms, type WalkProblem } from "../../src/inference/problem.ts";
import { chances, circuit, link, reading, walkOf } from "../inference/small-walks.ts";
import { steady } from "../made-findings.ts";
import { meter, type Shown, sheet, smallPool } from "../reference/builders.ts";

/** What else explains a walk, from findings as they may come. */
const pool = smallPool([1, 2], ["a"], {
  meters: [meter("deck", 1000, 0.01), meter("shed", 1000, 0.01)],
});
const posed = poseWalk(
  pool,
  sheet([
    [1, "a", "plate", 4.9],
    [2, "a", "pod", 0],
    [2, "a", "pod", 0, "shed"],
    [2, "a", "pod", 0],
  ]),
);
const certain = { median: 5, low: 5, high: 5 };

interface Told {
  readonly pool?: Pool;
  readonly posed?: PosedWalk;
  readonly emf?: readonly Estimate[];
  readonly off?: readonly (readonly [number, number])[];
  readonly rivals?: ExplainedWalk["weighed"]["rivals"];
  readonly circuits?: ExplainedWalk["circuits"];
  readonly meters?: ExplainedWalk["meters"];
}
const told = ({ pool: at = pool, emf = [certain], off = [], rivals = [], ...given }: Told) =>
  explanationsOf({
    ...{ pool: at, posed, contacts: [], circuits: [], meters: [], rivals: false, ...given },
    weighed: {
      rivals,
      found: { shared: { emf }, readings: new Map(off.map(([n, p]) => [n, { off: p }])) },
    } as unknown as ExplainedWalk["weighed"],
  });
const aboutWalk = { lane: null, device: null, end: null, point: null };

test("a display that was off, of each meter where that is likeliest", () => {
  expect(
    told({
      off: [
        [1, 0.2],
        [2, 0.3],
        [3, 0.1],
        [0, 0],
      ],
    }),
  ).toEqual([
    { kind: "display-off", ...aboutWalk, of: "shed", probability: 0.3 },
    { kind: "display-off", ...aboutWalk, of: "deck", probability: 0.2 },
  ]);
});

test("what is less likely than a hundredth is left out", () => {
  expect(told({ off: [[1, 0.01]] })).toHaveLength(1);
  expect(told({ off: [[1, 0.0099]] })).toEqual([]);
});

describe("a supply is low under two standard deviations of 0.05 V below 5", () => {
  const low = (emf: Estimate, at?: Pool) =>
    told({ emf: [emf], ...(at === undefined ? {} : { pool: at }) }).map(
      ({ probability }) => probability,
    );

  test("with the chance that the normal through its quantiles has there", () => {
    // 5 % lie under the lower quantile, half under the median, 95 % under the upper.
    expect(low({ median: 4.95, low: 4.9, high: 5 })[0]).toBeCloseTo(0.05, 4);
    expect(low({ median: 4.9, low: 4.85, high: 4.95 })[0]).toBeCloseTo(0.5, 9);
    expect(low({ median: 4.85, low: 4.8, high: 4.9001 })[0]).toBeCloseTo(0.95, 3);
    // One standard deviation, 0.0304 V, over it: F(-1) = 0.158655.
    const sd = 0.05 / 1.6448536;
    expect(low({ median: 4.9 + sd, low: 4.85 + sd, high: 4.95 + sd })[0]).toBeCloseTo(0.158655, 5);
  });

  test("for sure where all of it is", () => {
    expect(low({ median: 4.85, low: 4.8, high: 4.9 })).toEqual([1]);
    expect(low({ median: 4.8, low: 4.8, high: 4.8 })).toEqual([1]);
    expect(low(certain)).toEqual([]);
  });

  test("not where nobody read it, or nothing can be low", () => {
    const emf = { median: 4.8, low: 4.8, high: 4.8 };
    expect(low(emf, { ...pool, supplies: [{ ...pool.supplies[0]!, emfSd: volts(0) }] })).toEqual(
      [],
    );
    const other = { ...pool, supplies: [{ ...pool.supplies[0]!, name: "other" }] };
    expect(low(emf, other)).toEqual([]);
    const alone = {
      ...posed,
      circuits: [posed.circuits[0]!, { ...posed.circuits[1]!, supply: other.supplies[0]! }],
    };
    expect(told({ emf: [emf], posed: alone })).toHaveLength(1);
    const both = { ...pool, supplies: [...other.supplies, pool.supplies[0]!] };
    const found = told({ pool: both, emf: [certain, emf] });
    expect(found).toEqual([{ kind: "supply-low", ...aboutWalk, of: "timer", probability: 1 }]);
  });
});

test("what conducts, circuit by circuit, the likeliest first", () => {
  const name = (lane: number) => ({ lane, device: "a", end: null });
  const sound = { verdict: "sound", reason: "within-limit", underLimit: 0 } as const;
  const circuits = [
    {
      ...{ ...name(1), ...sound },
      conducting: [
        { kind: "wet", point: "plate", probability: 0.1 },
        { kind: "stuck", point: "pod", probability: 0.02 },
      ],
    },
    { ...name(2), ...sound, conducting: [{ kind: "wet", point: "pod", probability: 0.3 }] },
  ] as const;
  expect(told({ circuits })).toEqual([
    { kind: "wet", ...name(2), point: "pod", of: null, probability: 0.3 },
    { kind: "wet", ...name(1), point: "plate", of: null, probability: 0.1 },
    { kind: "stuck", ...name(1), point: "pod", of: null, probability: 0.02 },
  ]);
});

test("blind meters, which explain any row of good readings", () => {
  const meters = [
    { meter: "deck", detectionLimit: 5, blind: false },
    { meter: "shed", detectionLimit: null, blind: true },
  ];
  expect(told({ meters })).toEqual([
    { kind: "meter-blind", ...aboutWalk, of: "shed", probability: 1 },
  ]);
});

test("rivals by the circuit, the point and the other thing that they are about", () => {
  const rival = (
    kind: "points-swapped" | "crossed" | "supply-drifts" | "rows-swapped",
    circuit: number | null,
    link: number | null,
    other: number | null,
  ) =>
    ({
      kind,
      circuit,
      link,
      other,
    }) as unknown as ExplainedWalk["weighed"]["rivals"][number]["rival"];
  const rivals = [
    { rival: rival("points-swapped", 1, 0, 3), probability: 0.4 },
    { rival: rival("crossed", 0, 2, 1), probability: 0.3 },
    { rival: rival("rows-swapped", 0, null, 1), probability: 0.2 },
    { rival: rival("supply-drifts", null, null, null), probability: 0.1 },
  ];
  const [one, two] = [1, 2].map((lane) => ({ lane, device: "a", end: null }));
  expect(told({ rivals })).toEqual([
    { kind: "points-swapped", ...two, point: "timer", of: "pod", probability: 0.4 },
    { kind: "crossed", ...one, point: "plate", of: "2 a", probability: 0.3 },
    { kind: "rows-swapped", ...one, point: null, of: "2 a", probability: 0.2 },
    { kind: "supply-drifts", ...aboutWalk, of: null, probability: 0.1 },
  ]);
});

describe("another load than the pool file's", () => {
  const fine = { noise: 0.02, halfStep: 0.005, tails: 0 };
  const fault = chances({ fouled: 0.2 });
  const problem: WalkProblem = walkOf(
    [0, 1, 2].map((c) => circuit([link(20, fault)], [[reading(c, 4.7, fine)]])),
    { loads: [exactOhms(1000), exactOhms(50)] },
  );
  const evidence = (loads: WalkProblem["loads"]): number =>
    Math.exp(infer({ ...problem, loads }, emptyShelf(1000)).logEvidence);
  const still = evidence(problem.loads);
  const contact = (lane: number, sound: number): ContactFinding => ({
    ...{ lane, device: "a", end: null, point: "pod", sound, fouled: 1 - sound, open: 0, ...steady },
    ...{ ohms: { median: 0.2, low: 0.1, high: 0.4 }, voltsLost: 0 },
  });
  const asked = (sounds: readonly number[], over: Partial<ExplainedWalk> = {}) =>
    wrongLoad({
      ...{ pool, circuits: [], meters: [], rivals: true },
      posed: { ...posed, problem },
      contacts: sounds.flatMap((sound, k) => [contact(k, 1), contact(k, sound), contact(k, 0.9)]),
      weighed: { found: { logEvidence: Math.log(still) } } as unknown as ExplainedWalk["weighed"],
      ...over,
    });

  test("one in fifty, a quarter to four times as large, each as likely", () => {
    const mean = [250, 500, 2000, 4000].reduce(
      (sum, ohms) => sum + evidence([exactOhms(ohms), exactOhms(50)]) / 4,
      0,
    );
    const [found] = asked([0.1, 0.2, 0.3]);
    expect(found).toMatchObject({ kind: "meter-load", ...aboutWalk, of: "deck" });
    const other = 0.02 * mean;
    // Meshes for other loads are other meshes.
    expect(found!.probability).toBeCloseTo(other / (other + 0.98 * still), 4);
  });

  test("is asked where three circuits were read and four in five of them seem faulty", () => {
    const isAsked = (...sounds: readonly number[]) => asked(sounds).length > 0;
    expect(isAsked(0.1, 0.2)).toBe(false);
    expect(isAsked(0.1, 0.2, 0.4, 0.4, 0.9)).toBe(true);
    expect(isAsked(0.1, 0.2, 0.4, 0.9)).toBe(false);
    expect(isAsked(0.1, 0.2, 0.5)).toBe(false);
  });

  test("nor where nobody wants rivals, or nobody knows the load", () => {
    expect(asked([0.1, 0.1, 0.1], { rivals: false })).toEqual([]);
    const unknown = { ...pool, meters: [{ ...pool.meters[0]!, loadOhms: null }, pool.meters[1]!] };
    expect(asked([0.1, 0.1, 0.1], { pool: unknown })).toEqual([]);
  });
});

test("another circuit is named by lane, device and end", () => {
  const other = { ...posed.circuits[1]!, lane: null, device: "start", end: "deep" };
  const shown: Shown[] = [[1, "a", "plate", 4.9]];
  const found = explanationsOf({
    ...{ pool, posed: { ...poseWalk(pool, sheet(shown)), circuits: [posed.circuits[0]!, other] } },
    ...{ contacts: [], circuits: [], meters: [], rivals: false },
    weighed: {
      rivals: [{ rival: { kind: "crossed", circuit: 0, link: 1, other: 1 }, probability: 0.5 }],
      found: { shared: { emf: [certain] }, readings: new Map() },
    } as unknown as ExplainedWalk["weighed"],
  });
  expect(found[0]!.of).toBe("start deep");
});
