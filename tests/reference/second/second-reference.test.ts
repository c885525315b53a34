import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { normalBelow } from "../normal.ts";
import { goodEnough } from "./answer-gaps.ts";
import { along, facilityOf, meter, plate, pod, timed, usualFacility } from "./case-builders.ts";
import { displayExplanations } from "./display-off.ts";
import { type FacilityText, poolText, type RowText, sheetText } from "./facility-text.ts";
import { guidedDraw, inSeries } from "./guided-draws.ts";
import { shownOnLadder } from "./ladder-network.ts";
import { pathStates, priorOf } from "./path-states.ts";
import { readWalk } from "./read-circuits.ts";
import { secondCases } from "./second-cases.ts";
import { secondReference } from "./second-reference.ts";
import { below, readRight } from "./shown-chance.ts";
import { storedSecond } from "./stored-second.ts";

/**
 * The reference has to be trusted before it may judge: its parts against formulas and tables, its
 * whole against plain one-dimensional quadrature and against the first model's own reference.
 */

const simpson = (f: (x: number) => number, low: number, high: number, panels = 400): number => {
  const h = (high - low) / (2 * panels);
  let sum = f(low) + f(high);
  for (let i = 1; i < 2 * panels; i++) sum += (i % 2 === 1 ? 4 : 2) * f(low + i * h);
  return (sum * h) / 3;
};
const density = (z: number): number => Math.exp(-z * z * 0.5) / 2.5066282746310002;
const pad = [1, "pad"] as const;

describe("parts", () => {
  test("the tabled normal distribution is that of the long way", () => {
    for (let z = -8.9; z < 8.9; z += 0.0137) {
      expect(Math.abs(below(z) - normalBelow(z))).toBeLessThan(2e-9);
    }
  });

  test("all that a display can show adds up to all that was not misread", () => {
    const reading = { step: 0.01, noise: 0.02, tails: 0.05, misread: 0.003, stray: 0 };
    let sum = 0;
    for (let i = 0; i <= 700; i++) sum += readRight({ ...reading, volts: i / 100 }, 0.03, 0.02);
    expect(sum).toBeCloseTo(0.997, 9);
  });

  // Kirchhoff's laws by hand: 5 V, 220 ohm, then 2 + 3 ohm, a shunt of 1000 ohm at the second
  // point, 4 ohm more, a meter of 1000 ohm at the third: I through the source from the two meshes.
  test("a leak between two points is a ladder", () => {
    const series = [2, 3, 4];
    const shunt = [{ at: 1, ohms: 1000 }];
    const across = (1000 * 1004) / 2004;
    const atShunt = (5 * across) / (225 + across);
    expect(shownOnLadder(5, 220, series, 2, 1000, shunt)).toBeCloseTo((atShunt * 1000) / 1004, 12);
    // In front of it: load parallel to 3 + 1000 ohm.
    const front = (1000 * 1003) / 2003;
    expect(shownOnLadder(5, 220, series, 0, 1000, shunt)).toBeCloseTo((5 * front) / (222 + front));
    expect(shownOnLadder(5, 220, [2, Infinity, 4], 0, 1000, shunt)).toBeCloseTo(5000 / 1222);
    expect(shownOnLadder(5, 220, [2, Infinity, 4], 2, 1000, shunt)).toBe(0);
  });

  test("guided draws keep the model's law: means of weights are its distribution", () => {
    const law = [
      { share: 0.6, median_ohms: 60, log_sd: 1.2 },
      { share: 0.4, median_ohms: 10_000, log_sd: 3 },
    ];
    const guides = [
      { volts: 4.2, width: 0.03, emf: 5, before: 3, load: 1000, between: inSeries },
      { volts: 0, width: 0.03, emf: 5, before: 3, load: 1000, between: inSeries },
      { volts: 3.6, width: 0.03, emf: 5, before: 220, load: 1000, between: 2 },
    ];
    const limits = [10, 180, 200, 1000, 1e5];
    const sums = limits.map(() => 0);
    const n = 400;
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) {
        const { ohms, weight } = guidedDraw(law, guides, (i + 0.5) / n, (j + 0.5) / n);
        limits.forEach((limit, l) => {
          if (ohms < limit) sums[l]! += weight / n ** 2;
        });
      }
    }
    limits.forEach((limit, l) => {
      const exact = law.reduce(
        (p, { share, median_ohms, log_sd }) =>
          p + share * normalBelow(Math.log(limit / median_ohms) / log_sd),
        0,
      );
      expect(Math.abs(sums[l]! - exact)).toBeLessThan(0.002);
    });
  });

  test("the states of a path have all of the chance, whatever the bodies", () => {
    const walk = readWalk(usualFacility([1], ["pad"]), along(pad, [["pod", 5]]));
    const circuit = walk.circuits[0]!;
    for (const mask of [0, 1, 5, 7]) {
      const { states } = pathStates(walk, circuit);
      const sum = states.reduce((p, state) => p + priorOf(walk, circuit, state, mask), 0);
      expect(sum).toBeCloseTo(1, 12);
    }
  });
});

describe("displays that went off", () => {
  const facility = (terms: Partial<FacilityText> = {}) =>
    facilityOf([1], ["pad"], [plate, pod], { blank: 0.01 }, terms);
  const weightOf = (rows: RowText[], changed = {}) => {
    const found = displayExplanations(readWalk(facility(changed), rows));
    return new Map(found.map(({ off, weight }) => [[...off].join(), weight]));
  };

  test("a run of n zeros has n(n+1)/2 + 1 explanations", () => {
    for (const n of [1, 2, 3, 4]) {
      const zeros = Array.from({ length: n }, () => ["pod", 0] as const);
      const rows = along(pad, [["plate", 5], ...zeros, ["pod", 5]]);
      expect(weightOf(rows).size).toBe((n * (n + 1)) / 2 + 1);
    }
  });

  test("two zeros between good readings, by hand", () => {
    const weights = weightOf(
      along(pad, [
        ["plate", 5],
        ["pod", 0],
        ["pod", 0],
        ["pod", 5],
      ]),
    );
    expect(weights.get("")).toBeCloseTo(0.99 * 0.99, 12);
    expect(weights.get("1")).toBeCloseTo(0.01 * 0.5, 12);
    expect(weights.get("2")).toBeCloseTo(0.99 * 0.01 * 0.5, 12);
    expect(weights.get("1,2")).toBeCloseTo(0.01 * 0.5 * 0.5, 12);
  });

  // The display goes off at an age uniform in 90 to 120 s. At the last good reading its age is
  // uniform, given that it showed: the chance that it goes off within g is the mean over ages.
  test("the chance of having gone off meanwhile is the mean over the ages it may have had", () => {
    const clocked = { meters: [meter("deck", 1000, { off_after: [90, 120] })] };
    const on = (age: number) => Math.min(1, Math.max(0, (120 - age) / 30));
    for (const gap of [20, 75, 100, 119]) {
      const rows = timed(
        along(pad, [
          ["plate", 5],
          ["pod", 0],
        ]),
        [0, gap],
      );
      const gone =
        simpson((a) => on(a) - on(a + gap), 0, 120, 6000) / simpson((a) => on(a), 0, 120, 6000);
      expect(weightOf(rows, clocked).get("1")).toBeCloseTo(0.1 * gone, 5);
    }
    const marked = timed(
      along(pad, [
        ["plate", 5, { meter_on: true }],
        ["plate", 5],
        ["pod", 0],
      ]),
      [0, 60, 108],
    );
    expect(weightOf(marked, clocked).get("2")).toBeCloseTo(0.1 * 0.6, 12);
  });
});

describe("wholes with an answer by other means", () => {
  const exactSupply = { supplies: [{ name: "A", emf: 5, emf_sd: 0, source_ohms: 220 }] };
  const onePod = { ...pod, wet: false };
  const shown = (v: number, volts: number): number =>
    0.997 * (normalBelow((v + 0.005 - volts) / 0.02) - normalBelow((v - 0.005 - volts) / 0.02)) +
    (0.003 * 0.01) / 5.5;
  const over = (median: number, sd: number, f: (r: number) => number, panels = 3000): number =>
    simpson((z) => density(z) * f(median * Math.exp(sd * z)), -7, 7, panels);
  const alongOne = (v: number, r: number) => shown(v, 5000 / (1220.3 + r));
  const fine = { points: 16, draws: 4096, shift: 0 };

  test("one contact that comes and goes, three readings, by Simpson's rule", () => {
    const facility = facilityOf([1], ["pad"], [{ ...onePod, intermittent: 0.02 }], {}, exactSupply);
    const values = [4.09, 1.7, 4.08];
    const rows = along(
      pad,
      values.map((v) => ["pod", v] as const),
    );
    const product = (f: (v: number) => number) => values.reduce((p, v) => p * f(v), 1);
    const sound = over(0.2, 0.8, (r) => product((v) => alongOne(v, r)));
    const fouled = over(60, 1.2, (r) => product((v) => alongOne(v, r)));
    // The sound r moves a bad moment's voltage by under a millivolt: its median stands for it there.
    const badAt = (v: number) =>
      0.7 * over(60, 1.2, (x) => alongOne(v, 0.2 + x)) + 0.3 * shown(v, 0);
    const bad = new Map(values.map((v) => [v, badAt(v)]));
    const loose = over(0.2, 0.8, (r) => product((v) => 0.7 * alongOne(v, r) + 0.3 * bad.get(v)!));
    const parts = [(1 - 0.132 - 0.02) * sound, 0.12 * fouled, 0.02 * loose];
    const total = parts.reduce((a, b) => a + b, 0) + 0.012 * product((v) => shown(v, 0));
    const answer = secondReference(facility, rows, fine);
    expect(answer.logEvidence).toBeCloseTo(Math.log(total), 2);
    expect(answer.contacts[0]!.sound).toBeCloseTo(parts[0]! / total, 3);
    expect(answer.contacts[0]!.intermittent).toBeCloseTo(parts[2]! / total, 3);
  });

  test("a leak at the device or a fouled contact, by Simpson's rule", () => {
    const facility = facilityOf([1], ["pad"], [onePod], { leaking: 0.01 }, exactSupply);
    const rows = along(pad, [["pod", 3.71]]);
    const leak = over(2000, 1.5, (rd) => {
      const load = 1 / (1 / 1000 + 1 / rd);
      return shown(3.71, (5 * load) / (load + 220.5));
    });
    const sound = over(0.2, 0.8, (r) => alongOne(3.71, r));
    const fouled = over(60, 1.2, (r) => alongOne(3.71, r));
    const parts = [0.99 * 0.868 * sound, 0.99 * 0.12 * fouled, 0.01 * 0.868 * leak];
    const answer = secondReference(facility, rows, fine);
    const leaking = answer.circuits[0]!.conducting.find(({ kind }) => kind === "leaking")!;
    // A leak behind a fouled contact is left out on the left: its share is small, not nought.
    const total = parts.reduce((a, b) => a + b, 0);
    expect(Math.abs(leaking.probability - parts[2]! / total)).toBeLessThan(0.02);
    expect(Math.abs(answer.logEvidence - Math.log(total))).toBeLessThan(0.02);
  });

  test("an unknown load and nothing else: its two possibilities by Simpson's rule", () => {
    const alone = { ...exactSupply, meters: [meter("deck", "unknown" as const)] };
    const facility = facilityOf([1], ["pad"], [{ ...onePod, fouled: 1e-9 }], {}, alone);
    const answer = secondReference(facility, along(pad, [["pod", 4.6]]), {
      points: 2048,
      draws: 1,
      shift: 0,
    });
    const some = simpson(
      (z) => {
        const load = 2000 * Math.exp(1.5 * z);
        return density(z) * over(0.2, 0.8, (r) => shown(4.6, (5 * load) / (load + 220.3 + r)), 60);
      },
      -6,
      6,
      300,
    );
    const megohms = shown(4.6, 5);
    expect(answer.meters[0]!.tenMegohm).toBeCloseTo(megohms / (megohms + some), 3);
    expect(answer.logEvidence).toBeCloseTo(Math.log((megohms + some) / 2), 2);
  });

  test("with every new term off it agrees with the first model's reference", () => {
    const stored = JSON.parse(readFileSync(new URL("../walks.json", import.meta.url), "utf8"));
    // A walk of the first reference is plain data: its pool and readings are read here by hand.
    const walk = stored.find((w: { name: string }) => w.name.startsWith("one fouled plate"));
    const { pool, readings, answer } = walk;
    const facility: FacilityText = {
      ...usualFacility(pool.lanes, pool.devices),
      supplies: [{ name: "A", emf: 5, emf_sd: 0.05, source_ohms: 0 }],
      chain: pool.chain.map((link: Record<string, unknown>) => ({
        point: link["point"],
        connector: link["connector"],
        shared_by: link["sharedBy"],
        wire_ohms: link["wireOhms"],
        contaminated: link["contaminated"],
        fouled: link["fouled"],
        fouled_if_contaminated: link["fouledIfContaminated"],
      })),
      model: "plain",
    };
    const rows = readings.map((r: RowText) => ({
      lane: r.lane,
      device: r.device,
      point: r.point,
      volts: r.volts,
      meter: r.meter,
    }));
    const mine = secondReference(facility, rows, { points: 512, draws: 8, shift: 0 });
    expect(Math.abs(mine.logEvidence - answer.logEvidence)).toBeLessThan(0.01);
    for (const theirs of answer.contacts) {
      const own = mine.contacts.find(({ point }) => point === theirs.point)!;
      expect(Math.abs(own.sound - theirs.sound)).toBeLessThan(0.002);
      expect(own.ohms.median! / theirs.ohms.median).toBeCloseTo(1, 1);
    }
  });
});

describe("stored answers", () => {
  const stored = storedSecond();

  test("each is about a case as it stands now", () => {
    expect(stored.length).toBeGreaterThanOrEqual(54);
    for (const { name, pool, readings } of stored) {
      const { facility, rows } = secondCases.find((one) => one.name === name)!;
      expect(pool, name).toBe(poolText(facility));
      expect(readings, name).toBe(sheetText(facility, rows));
    }
  });

  test("each is known well enough to judge by, but for what it says itself", () => {
    for (const { name, ownError, unsure, answer } of stored) {
      for (const kind of ["probability", "logEvidence", "median", "bound", "volts"] as const) {
        expect(ownError[kind], `${name}: ${kind}`).toBeLessThanOrEqual(goodEnough[kind]);
      }
      const numbers = JSON.stringify(answer).match(/-?\d+\.?\d*(e-?\d+)?/g)!.length;
      expect(unsure.length / numbers, `${name}: unsure`).toBeLessThan(0.3);
    }
  });

  test("probabilities of a contact's states add up", () => {
    for (const { contacts } of stored.map(({ answer }) => answer)) {
      for (const c of contacts) {
        expect(c.sound + c.fouled + c.open + c.intermittent).toBeCloseTo(1, 4);
        expect(c.openInConnector + c.openInCable).toBeCloseTo(c.open, 5);
      }
    }
  });
});
