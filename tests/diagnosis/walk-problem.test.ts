import { describe, expect, test } from "vitest";
import type { Carried } from "../../src/diagnosis/carried.ts";
import { poseWalk } from "../../src/diagnosis/walk-problem.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { volts } from "../../src/domain/units.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { chances } from "../inference/small-walks.ts";
import { meter, sheet, smallPool } from "../reference/builders.ts";

/** A walk as the exact sums take it, by `src/MODEL.md`, worked by hand. */
const plain = smallPool([1, 2], ["a", "b"], {
  meters: [meter("deck", 1000, 0.01), meter("shed", 2000, 0.1, 0.05)],
});
const full = { ...plain, model: { ...plain.model, plain: false, tails: 0.05 } };
const numbered = (rows: readonly (readonly { readonly index: number }[])[]) =>
  rows.map((row) => row.map(({ index }) => index));

test("the circuits read, with their readings by point, at rest and pressed", () => {
  const readings = sheet([
    [2, "b", "pod", 4.9],
    [1, "a", "plate", 4.8],
    [2, "b", "pod", 0.1],
    [2, "b", "timer", 4.7],
  ]).map((one, i): Reading => (i === 2 ? { ...one, state: "pressed" } : one));
  const { problem, circuits } = poseWalk(full, readings);
  expect(circuits.map(({ lane, device }) => `${lane} ${device}`)).toEqual(["1 a", "2 b"]);
  expect(problem.circuits.map((one) => numbered(one.readings))).toEqual([
    [[], [], [1], []],
    [[3], [], [], [0]],
  ]);
  expect(problem.circuits.map((one) => numbered(one.pressed))).toEqual([
    [[], [], [], []],
    [[], [], [], [2]],
  ]);
  // The first version's model has no word for a closed switch.
  const still = poseWalk(plain, readings);
  expect(still.order.readings).toHaveLength(3);
  expect(still.problem.circuits.map((one) => numbered(one.pressed).flat())).toEqual([[], []]);
});

describe("a body is a connector that several of the circuits read pass", () => {
  const bodiesOf = (...rows: readonly (readonly [lane: number, device: string])[]) =>
    poseWalk(full, sheet(rows.map(([lane, device]) => [lane, device, "pod", 4.9]))).bodies.map(
      ({ point, place }) => `${point} ${place.lane ?? "-"}`,
    );

  test("not one that others pass, or that is a device's own", () => {
    expect(bodiesOf([1, "a"])).toEqual([]);
    expect(bodiesOf([1, "a"], [2, "a"])).toEqual(["timer -"]);
    expect(bodiesOf([1, "a"], [1, "b"])).toEqual(["timer -", "harness 1", "plate 1"]);
    // Two devices that hang on one plug: a connector of a device's, were it passed by two circuits.
    const connectors = full.connectors.map((one) =>
      one.sharing === "device" ? { ...one, circuits: [0, 1] } : one,
    );
    const { bodies } = poseWalk(
      { ...full, connectors },
      sheet([
        [1, "a", "pod", 4.9],
        [1, "b", "pod", 4.9],
      ]),
    );
    expect(bodies.map(({ point }) => point)).toEqual(["timer", "harness", "plate"]);
  });

  test("and a contact of one that is none has its states' mean over the body's", () => {
    const [own] = poseWalk(full, sheet([[1, "a", "pod", 4.9]])).problem.circuits;
    // Plate: contaminated 0.08, fouled 0.02 or 0.7, open a tenth of fouled.
    const fouled = 0.92 * 0.02 + 0.08 * 0.7;
    const plate = own!.links[2]!;
    expect(plate.body).toBeNull();
    for (const states of plate.states) {
      expect(states.fouled).toBeCloseTo(fouled, 12);
      expect(states.open).toBeCloseTo(fouled / 10, 12);
      expect(states.sound).toBeCloseTo(1 - 1.1 * fouled, 12);
    }
    // A device's own connector has no body to be contaminated, whatever is written of it.
    const dirty = full.connectors.map((one) =>
      one.sharing === "device"
        ? { ...one, priors: { ...one.priors, contaminated: 0.5, fouledIfContaminated: 0.8 } }
        : one,
    );
    const at = new Map(full.connectors.map((one, k) => [one, dirty[k]!]));
    const circuits = full.circuits.map((one) => ({
      ...one,
      path: one.path.map((step) => ({ ...step, connector: at.get(step.connector)! })),
    }));
    const [pod] = poseWalk({ ...full, connectors: dirty, circuits }, sheet([[1, "a", "pod", 4.9]]))
      .problem.circuits;
    expect(pod!.links[3]!.states[0].fouled).toBeCloseTo(0.12, 12);
  });
});

describe("what earlier walks left is believed for the pool file's", () => {
  const clean = chances({ fouled: 0.2 });
  const dirty = chances({ fouled: 0.6 });
  const states = [clean, dirty] as const;
  const readings = sheet([[1, "a", "pod", 4.9]]);
  const path = [states, states, states, states];
  const carriedWith = (patterns: Carried["circuits"][number]["patterns"]): Carried => ({
    circuits: full.circuits.map(() => ({ states: path, patterns })),
    contaminated: full.connectors.map(() => 0.25),
    informedBy: ["before"],
  });

  test("states and bodies", () => {
    const { problem } = poseWalk(full, readings, carriedWith(null));
    // 0.75 x 0.2 + 0.25 x 0.6; the pod has no body.
    const fouled = problem.circuits[0]!.links.map((link) => link.states[0].fouled);
    for (const [k, p] of [0.3, 0.3, 0.3, 0.2].entries()) expect(fouled[k]).toBeCloseTo(p, 12);
    expect(problem.circuits[0]).not.toHaveProperty("patterns");
    const two = poseWalk(full, [...readings, ...sheet([[1, "b", "pod", 4.9]])], carriedWith(null));
    expect(two.problem.bodies.map(({ contaminated }) => contaminated)).toEqual([0.25, 0.25, 0.25]);
    expect(two.problem.circuits[0]!.links[2]).toMatchObject({ body: 2, states });
  });

  test("patterns, each of its contacts' states over the bodies as well", () => {
    const patterns = [
      { chance: 0.4, states: path },
      { chance: 0.6, states: path.map(() => [dirty, dirty] as const) },
    ];
    const [own] = poseWalk(full, readings, carriedWith(patterns)).problem.circuits;
    expect(own!.patterns!.map(({ chance }) => chance)).toEqual([0.4, 0.6]);
    const fouled = own!.patterns!.map((one) => one.states.map(([given]) => given.fouled));
    for (const [k, p] of [0.3, 0.3, 0.3, 0.2].entries()) expect(fouled[0]![k]).toBeCloseTo(p, 12);
    for (const p of fouled[1]!) expect(p).toBeCloseTo(0.6, 12);
  });

  test("of a circuit that they say nothing of, the pool file's", () => {
    const short = { ...carriedWith(null), circuits: [] };
    const [own] = poseWalk(full, readings, short).problem.circuits;
    expect(own!.links[3]!.states[0].fouled).toBeCloseTo(0.12, 12);
    expect(own).not.toHaveProperty("patterns");
  });
});

describe("what is known of a display", () => {
  const shown = (of: Partial<Reading>, pool = full) => {
    const [one, other] = sheet([
      [1, "a", "pod", 4.9, of.meter ?? "deck"],
      [1, "a", "pod", 4.9, "deck"],
    ]);
    return poseWalk(pool, [{ ...one!, ...of }, other!]).problem.circuits[0]!.readings[3]![0]!;
  };
  const timed = (seconds: number, of: Partial<Reading> = {}): Reading => ({
    ...sheet([[1, "a", "pod", 4.9]])[0]!,
    takenAt: { text: "", day: "2026-05-02", seconds },
    ...of,
  });

  test("a misread value lies anywhere up to 1.1 times the EMF", () => {
    // 0.01 x 0.01 V over 5.5 V.
    expect(shown({})).toMatchObject({
      ...{ index: 0, shown: 4.9, halfStep: 0.005, noise: 0.02, meter: 0, order: -0.5 },
      ...{ slope: 0.99, tails: 0.05, badMoment: 0.3 },
    });
    expect(shown({}).floor).toBeCloseTo((0.01 * 0.01) / 5.5, 18);
    expect(shown({ meter: "shed" })).toMatchObject({ meter: 1, halfStep: 0.05, noise: 0.05 });
    expect(shown({ meter: "shed" }).floor).toBeCloseTo((0.01 * 0.1) / 5.5, 18);
    const never = { ...full, model: { ...full.model, misread: 0 } };
    expect(shown({}, never).floor).toBe(1e-30);
  });

  test("a plug that is moved has more bad moments", () => {
    expect(shown({ state: "moved" }).badMoment).toBe(0.7);
  });

  test("in the first version's model a zero may be a display that was off", () => {
    // 52.5 s after switching on, in a window of 45 to 60 s: an even chance.
    const zero = timed(52.5, { volts: volts(0) });
    const at = (pool: typeof full, reading: Reading) =>
      poseWalk(pool, [timed(0), reading]).problem.circuits[0]!.readings[3]!.find(
        ({ index }) => index === 1,
      )!;
    expect(at(plain, zero).slope).toBeCloseTo(0.5 * 0.99, 12);
    expect(at(plain, zero).floor).toBeCloseTo(0.5 + (0.5 * 0.01 * 0.01) / 5.5, 12);
    // A value that is shown was shown, and the whole model knows of runs of zeros.
    expect(at(plain, timed(52.5)).slope).toBeCloseTo(0.99, 12);
    expect(at(full, zero).slope).toBeCloseTo(0.99, 12);
    expect(at(full, zero).floor).toBeCloseTo((0.01 * 0.01) / 5.5, 18);
  });
});

test("what belongs to no circuit, point or meter of the pool is intake's fault", () => {
  const [one] = sheet([[1, "a", "pod", 4.9]]);
  const names = "names no point of a circuit of this pool";
  expect(() => poseWalk(full, [{ ...one!, lane: 7 }])).toThrow(`reading of line 2 ${names}`);
  expect(() => poseWalk(full, [{ ...one!, point: "roof" }])).toThrow(`reading of line 2 ${names}`);
  expect(() => poseWalk(full, [{ ...one!, meter: "lost" }])).toThrow(
    "reading of line 2 names no meter of this pool",
  );
});

test("each circuit hangs on its own supply", () => {
  const file = [
    "pool: two supplies",
    "lanes: 2",
    "devices: [pad]",
    "supplies:",
    "  - { name: A, lanes: [1] }",
    "  - { name: B, lanes: [2] }",
  ].join("\n");
  const read = readPool(file, "pool.yaml");
  if (!read.ok) throw new Error(read.error.map(({ message }) => message).join("; "));
  const point = read.value.circuits[0]!.path[0]!.point;
  const rows = sheet([
    [1, "pad", point, 4.9],
    [2, "pad", point, 4.9],
  ]).map((row) => ({ ...row, meter: read.value.meters[0]!.name }));
  const { problem } = poseWalk(read.value, rows);
  expect(problem.circuits.map(({ supply }) => supply)).toEqual([0, 1]);
});
