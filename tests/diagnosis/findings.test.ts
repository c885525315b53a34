import { describe, expect, test } from "vitest";
import { diagnose, findings } from "../../src/diagnosis/diagnose.ts";
import type { WeighedWalk } from "../../src/diagnosis/rivals/weigh-rivals.ts";
import { saidAlone } from "../../src/diagnosis/said-alone.ts";
import { type PosedWalk, poseWalk } from "../../src/diagnosis/walk-problem.ts";
import type { Pool } from "../../src/domain/pool.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { volts } from "../../src/domain/units.ts";
import { both } from "../inference/small-walks.ts";
import { defaultChain, sheet, smallPool } from "../reference/builders.ts";

const plain = smallPool([1, 2], ["a", "b"]);
/** The whole model, its unknown numbers known: quick to sum. */
const known = (pool: Pool): Pool => ({
  ...pool,
  supplies: pool.supplies.map((supply) => ({ ...supply, emfSd: volts(0) })),
  model: { ...pool.model, plain: false, misread: 0.0001, blank: 0 },
});
const pressed = (one: Reading): Reading => ({ ...one, state: "pressed" });

describe("an inference as findings", () => {
  const pool = { ...plain, model: { ...plain.model, plain: false, stuck: 0.01, leaking: 0.02 } };
  const readings = sheet([
    [1, "a", "pod", 4.5],
    [1, "b", "pod", 4.98],
    [2, "b", "pod", 4.5],
  ]);
  const posed: PosedWalk = poseWalk(pool, readings);
  const at = (median: number) => ({ median, low: median, high: median });
  const nuisanceOf = (emf: number) => ({
    ...{ emf: [emf], drift: 0, noiseScale: 1, sourceOhms: [0], loadOhms: [1000] },
  });
  // Sound, fouled, open, cable, intermittent.
  const fouled = Float64Array.of(0.05, 0.6, 0.1, 0.05, 0.2);
  const sound = Float64Array.of(1, 0, 0, 0, 0);
  const circuitOf = (stuck: number, leaking: number, last: Float64Array) => ({
    states: [sound, sound, sound, last],
    ohms: [0.2, 0.2, 0.2, last === sound ? 0.2 : 100].map(at),
    voltsLost: [0, 0, 0, last === sound ? 0 : 0.4],
    conducting: posed.problem.circuits[0]!.conducting.map(({ kind }) =>
      kind === "stuck" ? stuck : leaking,
    ),
    underLimit: 0.97,
  });
  const readingOf = { misread: 0, off: 0, badMoment: 0, expected: { below: 0.5, same: 0.1 } };
  const found = {
    circuits: [circuitOf(0.01, 0.2, fouled), circuitOf(0, 0, sound), circuitOf(0.2, 0.3, fouled)],
    bodyAtFault: new Map(posed.bodies.map((_, body) => [body, 0.1 * (body + 1)])),
    readings: new Map(readings.map((_, number) => [number, readingOf])),
    logEvidence: -3,
    nodes: [
      { weight: 0.3, nuisance: nuisanceOf(4) },
      { weight: 0.5, nuisance: nuisanceOf(5) },
      { weight: 0.2, nuisance: nuisanceOf(6) },
    ],
    shared: {
      ...{ emf: [at(5)], sourceOhms: [at(0)], loadOhms: [at(1000)] },
      ...{ drift: at(0), noiseScale: at(1) },
    },
  } as unknown as WeighedWalk["found"];
  const say = () =>
    findings(pool, posed, { found, told: found, fit: null, rivals: [] }, "monday", false);

  test("contacts with their cable within what is open", () => {
    const { contacts } = say();
    const contact = contacts.find(
      ({ lane, device, point }) => lane === 2 && device === "b" && point === "pod",
    )!;
    expect(contact).toMatchObject({ sound: 0.05, fouled: 0.6, cable: 0.05, intermittent: 0.2 });
    expect(contact.open).toBeCloseTo(0.15, 12);
    expect(contact).toMatchObject({ ohms: at(100), voltsLost: 0.4, end: null });
    expect(contacts).toHaveLength(12);
  });

  test("what conducts, the likeliest first, by the point where it does", () => {
    expect(say().circuits[0]!.conducting).toEqual([
      { kind: "leaking", point: "pod", probability: 0.2 },
      { kind: "stuck", point: "pod", probability: 0.01 },
    ]);
  });

  test("a shared connector's fault is its body's, another's its own contact's", () => {
    const { connectors } = say();
    const atFault = (point: string, lane: number | null, device: string | null) =>
      connectors.find((one) => one.point === point && one.lane === lane && one.device === device)!
        .atFault;
    expect(posed.bodies.map(({ point, place }) => [point, place.lane])).toEqual([
      ["timer", null],
      ["harness", 1],
      ["plate", 1],
    ]);
    expect(atFault("timer", null, null)).toBeCloseTo(0.1, 12);
    expect(atFault("harness", 1, null)).toBeCloseTo(0.2, 12);
    expect(atFault("plate", 1, null)).toBeCloseTo(0.3, 12);
    // 0.6 fouled, 0.1 open but for the cable, 0.2 that comes and goes.
    expect(atFault("pod", 2, "b")).toBeCloseTo(0.9, 12);
    expect(atFault("plate", 2, null)).toBe(0);
  });

  test("evidence by the likeliest numbers of the walk, none where something conducts", () => {
    const { connectors } = say();
    const evidence = (lane: number, device: string) =>
      connectors.find((one) => one.point === "pod" && one.lane === lane && one.device === device)!
        .evidence;
    // 5 V behind 3 ohm of copper and four sound contacts.
    expect(evidence(1, "a")).toHaveLength(1);
    expect(evidence(1, "a")[0]!.expectedIfSound).toBeCloseTo(5000 / 1003.8, 12);
    // Stuck or leaking, each less likely than not, together as likely as not.
    expect(evidence(2, "b")).toEqual([]);
  });

  test("each circuit's verdict, with nothing to read again where all are weak for certain", () => {
    const said = say();
    expect(said.circuits.map(({ verdict, reason }) => `${verdict} ${reason}`)).toEqual([
      ...["weak under-limit", "weak under-limit", "weak under-limit"],
    ]);
    expect(said).toMatchObject({
      ...{ walk: "monday", informedBy: [], likelihoods: [], readAgain: [], logEvidence: -3 },
    });
  });

  test("and all the places that the verdicts want read again", () => {
    const circuits = found.circuits.map((one) => ({ ...one, underLimit: 0.5 }));
    const { readAgain } = findings(
      ...([pool, posed] as const),
      { found: { ...found, circuits }, told: found, fit: null, rivals: [] },
      ...(["monday", false] as const),
    );
    expect(readAgain.map(({ lane, device, why }) => `${lane} ${device} ${why}`)).toEqual([
      ...["1 a conducting", "1 b near-limit", "2 b conducting"],
    ]);
  });
});

describe("a walk by itself", () => {
  const pool = known(smallPool([1], ["a"]));
  const readings = sheet([
    [1, "a", "plate", 4.97],
    [1, "a", "pod", 4.62],
  ]);

  test("says the same to those after it as in its own diagnosis", () => {
    const { walk, fit, likelihoods } = diagnose(pool, readings);
    const alone = saidAlone(pool, readings);
    expect(alone).toMatchObject({ walk: "reference", fit });
    expect(walk).toBe("reference");
    expect(likelihoods).toHaveLength(1);
    for (const [k, states] of likelihoods[0]!.first.entries()) {
      for (const [s, value] of states.entries()) {
        expect(alone.likelihoods[0]!.first[k]![s]).toBeCloseTo(value, 9);
      }
    }
  });

  test("says nothing where no switch was at rest, or nothing was read", () => {
    const nothing = { fit: { p: null, worst: [] }, likelihoods: [] };
    expect(saidAlone(pool, readings.map(pressed))).toEqual({ walk: "reference", ...nothing });
    expect(saidAlone(pool, [])).toEqual({ walk: "", ...nothing });
    expect(diagnose(pool, []).walk).toBe("");
    expect(diagnose(pool, readings.map(pressed))).toMatchObject({ walk: "reference", ...nothing });
    const pod = known(smallPool([1], ["a"], { chain: [defaultChain[3]!] }));
    const [held, rest] = sheet([
      [1, "a", "pod", 0.05],
      [1, "a", "pod", 4.9],
    ]);
    expect(saidAlone(pod, [pressed(held!), rest!]).likelihoods).toHaveLength(1);
  });

  test("that earlier ones inform names them, and tells those after it nothing of its own", () => {
    const states = both({ fouled: 0.01 });
    const carried = {
      circuits: pool.circuits.map(({ path }) => ({
        states: path.map(() => states),
        patterns: null,
      })),
      contaminated: pool.connectors.map(() => 0.5),
      informedBy: ["march", "april"],
    };
    const informed = diagnose(pool, readings, false, carried);
    expect(informed).toMatchObject({ informedBy: ["march", "april"], likelihoods: [] });
    expect(diagnose(pool, readings, false)).toMatchObject({ informedBy: [] });
    // What was carried is believed: 1 % before the reading for 12 % of the pool file's pod.
    const fault = ({ connectors }: typeof informed) =>
      connectors.find(({ point }) => point === "pod")!.atFault;
    expect(fault(informed)).not.toBeCloseTo(fault(diagnose(pool, readings, false)), 6);
  });

  test("that does not fit states nothing over 95 %", () => {
    // At one point a path shows one value, but for noise: 2 V does not show it.
    const odd = sheet([
      [1, "a", "pod", 4.98],
      [1, "a", "pod", 2],
      [1, "a", "pod", 4.97],
    ]);
    const { fit, contacts } = diagnose(pool, odd, false);
    expect(fit.p).toBeLessThan(0.01);
    expect(contacts.map(({ sound }) => sound)).toEqual([0.95, 0.95, 0.95, 0.95]);
  });

  test("by the first version's model has no fit", () => {
    expect(diagnose(smallPool([1], ["a"]), readings, false).fit.p).toBeNull();
  });
});
