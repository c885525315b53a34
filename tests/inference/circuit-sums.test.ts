import { describe, expect, test } from "vitest";
import { circuitModel, emptyShelf } from "../../src/inference/chain/circuit-model.ts";
import { nothingPinned } from "../../src/inference/chain/pinned-states.ts";
import { seriesWays, type Way, type WayThrough } from "../../src/inference/circuit-evidence.ts";
import { type Asked, CircuitSums, type ReadingSums } from "../../src/inference/circuit-sums.ts";
import { modelBehind } from "../../src/inference/conducting/behind-leak.ts";
import {
  cutWay,
  loopFeatures,
  loopModel,
  loopWay,
} from "../../src/inference/conducting/loop-ways.ts";
import { rangeAt, still } from "../../src/inference/conducting/moving-loop.ts";
import type { CircuitProblem, ConductingProblem } from "../../src/inference/problem.ts";
import { normalBelow } from "../reference/normal.ts";
import { leavesOf, loopShown, shownChance } from "./path-leaves.ts";
import { chances, circuit, link, reading, walkOf } from "./small-walks.ts";

/** Ways of one circuit at one node of the shared numbers, each with all of its mass. */
const film = [{ share: 1, medianOhms: 80, logSd: 0.5 }];
const tight = [{ share: 1, medianOhms: 3, logSd: 0.4 }];
const faults = { fouled: 0.2, open: 0.2, cable: 0.1, intermittent: 0.2 };
const joints = [
  { ...link(5, chances({ fouled: 0.3, open: 0.03 })), sound: tight, fouled: film },
  { ...link(9, chances(faults)), sound: tight, fouled: film },
];
const PRIOR = [0.3, 0.2, 0.2, 0.1, 0.2];
const place = { emf: 5, drift: 0, noiseScale: 1, source: 20, loads: [1000] };
const nuisance = { emf: [5], drift: 0, noiseScale: 1, sourceOhms: [20], loadOhms: [1000] };
const range = rangeAt(nuisance);
const leak: ConductingProblem = {
  ...{ kind: "wet", link: 0, chance: 0.1, medianOhms: 200, logSd: 0.6 },
};
const quiet = { noise: 0.08, halfStep: 0.02, meter: 0 };
const LIMIT = 70;
const pathOf = (shown: readonly [number, number], limitOhms: number | null = LIMIT) =>
  circuit(
    joints,
    shown.map((v, k) => [reading(k, v, quiet)]),
    { conducting: [leak], limitOhms },
  );
const doubtsOf = (path: CircuitProblem) =>
  new Map(
    path.readings
      .flat()
      .map(({ index }): [number, ReadingSums] => [
        index,
        { misread: 0, off: 0, badMoment: 0, others: 0, below: 0, same: 0 },
      ]),
  );
const modelOf = (path: CircuitProblem) =>
  circuitModel(walkOf([path]), path, range, emptyShelf(1000));
const wayOf = (own: WayThrough, conducting: number): Way => ({
  ...{ chance: 1, off: [], conducting: [conducting] },
  ...own,
});
const all = ({ messages }: Way) => Float64Array.of(1 / messages.likelihood[0]!);
const evenly = (part: number) => ({ ohms: part, readings: part });
const seriesWay = (path: CircuitProblem): Way => {
  const display = { own: [{ chance: 1, off: [] }], sharedZeros: new Set<number>() };
  return seriesWays(modelOf(path), display, nuisance, [], [0])[0]!;
};
function leakWay(path: CircuitProblem, loop: number): Way {
  const [walk, shelf] = [walkOf([path]), emptyShelf(1000)];
  const looped = loopFeatures(path, leak, 1000, range, nuisance, still(loop));
  const behind = modelBehind(walk, shelf, path, 0, range, nuisance);
  const model = loopModel(walk, shelf, path, range, looped);
  return wayOf(loopWay(model, leak, behind, nuisance, [], loop), 1);
}
const sumsOf = (path: CircuitProblem, asked: Asked = "all") => {
  const doubts = doubtsOf(path);
  return { doubts, sums: new CircuitSums(walkOf([path]), path, doubts, asked) };
};

describe("how much is asked", () => {
  const path = pathOf([4.6, 4.4]);
  const way = seriesWay(path);
  const told = (asked: Asked, share = evenly(1)) => {
    const { sums } = sumsOf(path, asked);
    sums.add(way, all(way), 1, share, nuisance);
    return sums.found();
  };
  const whole = told("all");

  test("findings lack what later walks need, readings lack resistances", () => {
    expect(whole.pinned.sound).toBeGreaterThan(0);
    expect(whole.ohms[0]!.low).toBeGreaterThan(1);
    expect(whole.ohms[0]!.high).toBeLessThan(200);
    const findings = told("findings");
    expect(findings.pinned).toEqual(nothingPinned(2));
    expect(findings.ohms).toEqual(whole.ohms);
    const readings = told("readings");
    expect(readings.pinned).toEqual(whole.pinned);
    expect(readings.ohms[0]!.median).not.toBeCloseTo(whole.ohms[0]!.median, 3);
    expect(readings.states).toEqual(whole.states);
  });

  test("a node without a share of resistances has none of them, nor of what later walks need", () => {
    const found = told("all", { ohms: 0, readings: 1 });
    expect(found.pinned).toEqual(nothingPinned(2));
    expect(found.ohms[0]!.median).not.toBeCloseTo(whole.ohms[0]!.median, 3);
    expect(found.voltsLost).toEqual(whole.voltsLost);
    expect(found.states).toEqual(whole.states);
    const unread = told("all", { ohms: 1, readings: 0 });
    expect(unread.voltsLost).toEqual([0, 0]);
    expect(unread.ohms).toEqual(whole.ohms);
  });

  test("a way of next to nothing leaves no trace but its chance of conducting", () => {
    const { sums } = sumsOf(path);
    sums.add(way, all(way), 1, evenly(1), nuisance);
    const leaking = leakWay(path, 400);
    sums.add(leaking, all(leaking), 1e-7, evenly(1e-7), nuisance);
    sums.addBehind(1e-7, evenly(1e-7), nuisance);
    const found = sums.found();
    expect(found.conducting[0]).toBeCloseTo(1e-7, 12);
    expect(found.states).toEqual(whole.states);
    expect(found.underLimit).toBe(whole.underLimit);
  });

  test("where nobody judges the path no limit is told", () => {
    const free = pathOf([4.6, 4.4], null);
    const { sums } = sumsOf(free);
    const own = seriesWay(free);
    sums.add(own, all(own), 1, evenly(1), nuisance);
    expect(sums.found().underLimit).toBeNull();
  });
});

describe("behind a contact that is open", () => {
  const path = pathOf([0, 0]);
  const told = () => {
    const way = wayOf(cutWay(modelOf(path), leak, nuisance, []), 1);
    const { sums, doubts } = sumsOf(path);
    sums.add(way, all(way), 1, evenly(1), nuisance);
    return { found: sums.found(), doubts };
  };

  test("states and resistances are the prior's", () => {
    const { found } = told();
    for (const [s, p] of PRIOR.entries()) expect(found.states[1]![s]).toBeCloseTo(p, 9);
    // Sound or coming and going 0.5 of it, fouled 0.2; open 0.3.
    const under = (r: number): number =>
      0.5 * normalBelow(Math.log(r / 3) / 0.4) + 0.2 * normalBelow(Math.log(r / 80) / 0.5);
    const { low, median, high } = found.ohms[1]!;
    expect(under(low)).toBeCloseTo(0.05, 4);
    expect(under(median)).toBeCloseTo(0.5, 4);
    expect(high).toBe(Number.POSITIVE_INFINITY);
    expect(found.underLimit).toBeCloseTo(1, 9);
  });

  test("readings see nothing", () => {
    const { doubts } = told();
    for (const own of path.readings.flat()) {
      const { others, same, below, misread } = doubts.get(own.index)!;
      const chance = shownChance(own, 0, 1);
      expect(same / others).toBeCloseTo(chance, 9);
      expect(below).toBe(0);
      expect(misread).toBeCloseTo(own.floor / chance, 9);
    }
  });
});

describe("behind a leak", () => {
  const [shown, loop] = [[3.2, 2.9] as const, 240];
  const path = pathOf([...shown]);
  const way = leakWay(path, loop);
  const addTo = (sums: CircuitSums, part: number, own: Way) => {
    sums.add(own, all(own), part, evenly(part), nuisance);
    sums.addBehind(part, evenly(part), nuisance);
  };
  /** Joint with the readings, the loop given, by what lies in front of the leak and the whole path. */
  const leaves = (() => {
    const byHand = { whole: 0, front: 0, path: 0, states: [0, 0, 0, 0, 0] };
    const order = ["sound", "fouled", "open", "cable", "intermittent"] as const;
    const steady = path.links.map((one) => ({ ...one.states[0] }));
    for (const leaf of leavesOf(path, (k) => steady[k]!, { sound: 9, fouled: 481 })) {
      const before = leaf.upTo[0]!;
      const rd = loop - 20 - before;
      if (before === Number.POSITIVE_INFINITY || !(rd > 0)) continue;
      const z = Math.log(rd / leak.medianOhms) / leak.logSd;
      const [first, second] = path.readings.flat();
      const isOpen = leaf.upTo[1] === Number.POSITIVE_INFINITY;
      const there = isOpen ? 0 : loopShown(place, second!, loop, leaf.upTo[1]!, before);
      const likely =
        (leaf.weight *
          Math.exp(-0.5 * z * z) *
          shownChance(first!, loopShown(place, first!, loop, before, null), 1) *
          shownChance(second!, there, 1)) /
        rd;
      byHand.whole += likely;
      if (leaf.own[0]! > LIMIT - 14) byHand.front += likely;
      if (leaf.upTo[1]! > LIMIT) byHand.path += likely;
      byHand.states[order.indexOf(leaf.states[1]!)]! += likely;
    }
    return byHand;
  })();

  test("that may be, contacts and the limit are told by what was read there", () => {
    const { sums } = sumsOf(path);
    addTo(sums, 0.5, way);
    const found = sums.found();
    expect(found.conducting[0]).toBeCloseTo(0.5, 9);
    // On a path that conducts what comes and goes counts as sound.
    const [sound, fouled, open, cable, shaky] = leaves.states.map((p) => p / leaves.whole);
    for (const [s, p] of [sound! + shaky!, fouled!, open!, cable!].entries()) {
      expect(Math.abs(found.states[1]![s]! - p)).toBeLessThan(0.005);
    }
    expect(Math.abs(found.underLimit! / 0.5 - leaves.path / leaves.whole)).toBeLessThan(0.03);
    // The path up to the leak may be over the limit or not, and what lies behind it says more.
    expect(leaves.front / leaves.whole).toBeGreaterThan(0.2);
    expect(leaves.path - leaves.front).toBeGreaterThan(0.2 * leaves.whole);
  });

  test("that is next to impossible, they are as the prior has them, the rest taken as sound", () => {
    const { sums } = sumsOf(path);
    addTo(sums, 1e-5, way);
    const found = sums.found();
    for (const [s, p] of PRIOR.entries()) expect(found.states[1]![s]).toBeCloseTo(p, 9);
    expect(found.ohms[1]!.median).toBeCloseTo(3, 4);
    expect(Math.abs(found.underLimit! / 1e-5 - leaves.front / leaves.whole)).toBeLessThan(0.03);
    // Beside as much of a path that does not conduct each has half.
    const beside = sumsOf(path).sums;
    const series = seriesWay(path);
    const alone = sumsOf(path).sums;
    alone.add(series, all(series), 1e-5, evenly(1e-5), nuisance);
    beside.add(series, all(series), 1e-5, evenly(1e-5), nuisance);
    addTo(beside, 1e-5, way);
    const own = alone.found().states[1]!;
    for (const [s, p] of beside.found().states[1]!.entries()) {
      expect(p).toBeCloseTo((own[s]! + PRIOR[s]!) / 2, 6);
    }
  });

  test("loops through it are gathered, node by node", () => {
    const { sums } = sumsOf(path);
    const half = { ...way };
    sums.add(way, all(way), 0.25, evenly(0.25), nuisance);
    sums.add(half, all(half), 0.25, evenly(0.25), nuisance);
    sums.addBehind(0.25, evenly(0.25), nuisance);
    sums.addBehind(0.25, evenly(0.25), nuisance);
    const { sums: once } = sumsOf(path);
    addTo(once, 0.5, way);
    const [twice, single] = [sums.found(), once.found()];
    for (const [s, p] of single.states[1]!.entries()) {
      expect(twice.states[1]![s]).toBeCloseTo(p, 9);
    }
    expect(twice.underLimit).toBeCloseTo(single.underLimit!, 9);
  });
});

test("quiet is what has nothing likelier than 0.02", () => {
  const quietly = (shown: readonly [number, number], over: object, conducting = 0) => {
    const links = joints.map((one) => ({
      ...one,
      states: [chances(over), chances(over)] as const,
    }));
    const path = { ...pathOf([...shown]), links };
    const { sums } = sumsOf(path);
    const own = { ...seriesWay(path), conducting: [conducting] };
    sums.add(own, all(own), 1, evenly(1), nuisance);
    return sums.isQuiet();
  };
  const good = [4.85, 4.8] as const;
  expect(quietly(good, { fouled: 0.001 })).toBe(true);
  expect(quietly(good, { fouled: 0.001 }, 0.03)).toBe(false);
  expect(quietly([4.4, 4.2], { fouled: 0.1 })).toBe(false);
  expect(quietly([4.85, 0], { open: 0.1 })).toBe(false);
  expect(quietly([4.85, 0], { cable: 0.1 })).toBe(false);
  // Contacts that come and go are no fault of a path that is good meanwhile.
  expect(quietly(good, { intermittent: 0.1 })).toBe(true);
});
