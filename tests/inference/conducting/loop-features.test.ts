import { describe, expect, test } from "vitest";
import type { NuisanceRange } from "../../../src/inference/chain/features.ts";
import type { Feature } from "../../../src/inference/chain/mesh.ts";
import { loopFeatures } from "../../../src/inference/conducting/loop-ways.ts";
import { type MovingLoop, rangeAt, still } from "../../../src/inference/conducting/moving-loop.ts";
import type { CircuitProblem, ReadingProblem } from "../../../src/inference/problem.ts";
import { expectFeatures, noiseAlong, type Place, uOf } from "../feature-places.ts";
import { loopShown, type SharedPlace } from "../path-leaves.ts";
import { chances, circuit, link, reading } from "../small-walks.ts";

/**
 * Where something varies along the contacts in front of what conducts, one loop D given. By equation (7) a
 * meter at k shows E RL y / (RL D + x y) with x = Rs + S_k and y = D - x: V y^2 + (E RL - V D) y = V RL D,
 * solved for y by hand; its noise over its slope, taken numerically. The law of Rd = D - Rs - S_m is seen at
 * whole standard deviations of ln Rd.
 */
const SCALE = 1000;
const SOURCE = 20;
const LOAD = 1000;
const joints = [link(5, chances({ fouled: 0.2 })), link(9, chances({ fouled: 0.2 }))];
const WIRES = [5, 14];
const place: SharedPlace = { emf: 5, drift: 0, noiseScale: 1, source: SOURCE, loads: [LOAD] };
const nuisance = { emf: [5], drift: 0, noiseScale: 1, sourceOhms: [SOURCE], loadOhms: [LOAD] };
const quiet = { noise: 0.05, halfStep: 0.01 };
const pathOf = (rows: readonly (readonly ReadingProblem[])[]) => circuit(joints, rows);
/** Of which no part is near any loop here. */
const nowhere = { medianOhms: 1e7, logSd: 0.1 };

/** The contacts at which a loop shows so many volts at point k; negative where none does. */
function shows(volts: number, k: number, loop: number, emf = 5): number {
  const b = emf * LOAD - volts * loop;
  const y = (-b + Math.sqrt(b * b + 4 * volts * volts * LOAD * loop)) / (2 * volts);
  return loop - y - SOURCE - WIRES[k]!;
}
const voltsAt =
  (own: ReadingProblem, k: number, loop: number, over: Partial<SharedPlace> = {}) =>
  (t: number): number =>
    loopShown({ ...place, ...over }, own, loop, WIRES[k]! + t, null);
const featuresOf = (
  path: CircuitProblem,
  law: { readonly medianOhms: number; readonly logSd: number },
  loop: MovingLoop,
  over: Partial<NuisanceRange> = {},
  at = 1,
  scale = SCALE,
) =>
  loopFeatures(
    path,
    { link: at, ...law },
    scale,
    { ...rangeAt(nuisance), ...over },
    nuisance,
    loop,
  );
const atVolts = (own: ReadingProblem, k: number, loop: number, volts: number): Place => {
  const t = shows(volts, k, loop);
  const width = noiseAlong(voltsAt(own, k, loop), Math.max(0, t), SCALE, own.noise);
  return { low: uOf(t, SCALE), high: uOf(t, SCALE), width };
};

describe("a reading of a path that conducts", () => {
  test.each([
    [0, 4.2],
    [1, 4.2],
    [1, 3],
  ])("at point %d that shows %f V varies there", (k, shown) => {
    const own = reading(0, shown, quiet);
    const path = pathOf(k === 0 ? [[own], []] : [[], [own]]);
    const { features } = featuresOf(path, nowhere, still(500));
    const main = atVolts(own, k, 500, shown);
    // A loop shows most of E or little of it: four times the noise off, its slope is alike.
    expectFeatures(features, [main], 2);
  });

  test("where four times the noise off its slope is another, there too", () => {
    // Of a loop of 3000 ohm an ohm takes 5.7 mV at 4.6 V, 2.6 at 3 V, 0.9 at 1.4 V.
    const rough = reading(0, 3, { noise: 0.4, halfStep: 0.01 });
    const { features } = featuresOf(pathOf([[], [rough]]), nowhere, still(3000));
    expectFeatures(
      features,
      [3, 1.4, 4.6].map((v) => atVolts(rough, 1, 3000, v)),
      2,
    );
    // And within a third of 2.6 mV at 2.6 V and 3.4 V.
    const finer = reading(0, 3, { noise: 0.1, halfStep: 0.01 });
    const near = featuresOf(pathOf([[], [finer]]), nowhere, still(3000)).features;
    expectFeatures(near, [atVolts(finer, 1, 3000, 3)], 2);
  });

  test("no nearer to nothing than a quarter of the noise", () => {
    const zero = reading(0, 0, quiet);
    const { features } = featuresOf(pathOf([[], [zero]]), nowhere, still(500));
    expectFeatures(features, [atVolts(zero, 1, 500, 0.0125)], 2);
  });

  test("more than the path can show is nowhere", () => {
    const over = reading(0, 4.95, { noise: 0.005, halfStep: 0.001 });
    // Beside 166 ohm of loop the first point shows 4.2 V at most.
    expect(shows(4.95, 1, 200)).toBeLessThan(0);
    const { features } = featuresOf(pathOf([[], [over]]), nowhere, still(200));
    expect(features).toEqual([]);
  });

  test("four times the noise less may be shown where it itself is not", () => {
    const over = reading(0, 4.2, { noise: 0.1, halfStep: 0.01 });
    const loop = 166;
    const most = voltsAt(over, 1, loop)(0);
    expect(most).toBeGreaterThan(3.8);
    expect(most).toBeLessThan(4.2);
    const { features } = featuresOf(pathOf([[], [over]]), nowhere, still(loop));
    expectFeatures(features, [atVolts(over, 1, loop, 3.8)], 2);
  });

  test("readings behind what conducts say nothing in front of it", () => {
    const path = pathOf([[reading(0, 4.2, quiet)], [reading(1, 3, quiet)]]);
    const { features } = featuresOf(path, nowhere, still(500), {}, 0);
    expectFeatures(features, [atVolts(reading(0, 4.2, quiet), 0, 500, 4.2)], 2);
  });

  test("its noise is the meter's times the walk's, the supply what it was known to be off by", () => {
    const own = reading(0, 2.1, { noise: 0.02, halfStep: 0.001, emfOffset: -2.5 });
    const { features } = featuresOf(pathOf([[], [own]]), nowhere, still(500), { noiseScale: 3 });
    const t = shows(2.1, 1, 500, 2.5);
    const width = noiseAlong(voltsAt(own, 1, 500), t, SCALE, 0.06);
    expectFeatures(features, [{ low: uOf(t, SCALE), high: uOf(t, SCALE), width }], 2);
  });

  test("from where the least EMF puts it to where the most does, the loop moving along", () => {
    const own = reading(0, 4.1, quiet);
    const moving: MovingLoop = ({ emf }) => ({ ohms: 500 - 150 * (emf[0]! - 5), perOhm: 1 });
    const { features, most } = featuresOf(pathOf([[], [own]]), nowhere, moving, {
      emf: [[4.9, 5.1]],
    });
    const ends = [shows(4.1, 1, 515, 4.9), shows(4.1, 1, 485, 5.1)];
    const low = Math.min(...ends);
    const width = noiseAlong(voltsAt(own, 1, 500), low, SCALE, 0.05);
    const high = uOf(Math.max(...ends), SCALE);
    expect(high).toBeGreaterThan(uOf(low, SCALE) + 0.5 * width);
    expectFeatures(features, [{ low: uOf(low, SCALE), high, width }], 2);
    // The longest loop less the source.
    expect(most).toBeCloseTo(495, 9);
  });
});

describe("the law of what conducts", () => {
  /** Of so many standard deviations of ln Rd: the contacts that leave it, and a third of it wide. */
  const lawPlace = (rd: number, far: number, logSd: number, near = far): Place => {
    const perOhm = SCALE / (SCALE + Math.max(0, near - rd)) ** 2;
    const u = (t: number) => (t <= -SCALE / 2 ? -1 : uOf(t, SCALE));
    return { low: u(near - rd), high: u(far - rd), width: 0.35 * rd * Math.min(1, logSd) * perOhm };
  };

  test("is seen at whole standard deviations of it, up to half over what the loop leaves", () => {
    // Behind 20 + 14 ohm a loop of 434 leaves 400: 300 e^(0.8 z) of under 600.
    const { features, most } = featuresOf(
      pathOf([[], []]),
      { medianOhms: 300, logSd: 0.8 },
      still(434),
    );
    const rds = [-3, -2, -1, 0].map((z) => 300 * Math.exp(0.8 * z));
    expectFeatures(
      features,
      rds.map((rd) => lawPlace(rd, 400, 0.8)),
      2,
    );
    expect(most).toBe(414);
  });

  test("a wide one as wide as itself", () => {
    const { features } = featuresOf(pathOf([[], []]), { medianOhms: 100, logSd: 2 }, still(434));
    const rds = [-3, -2, -1, 0].map((z) => 100 * Math.exp(2 * z));
    expectFeatures(
      features,
      rds.map((rd) => lawPlace(rd, 400, 2)),
      2,
    );
  });

  test("far left where it leaves less than nothing", () => {
    const { features } = featuresOf(
      pathOf([[], []]),
      { medianOhms: 2200, logSd: 0.1 },
      still(1634),
    );
    // 1600 ohm are left: 2200 e^0.1 = 2431 is over 2400, 2200 e^-0.3 = 1630 not.
    const rds = [-3, -2, -1, 0].map((z) => 2200 * Math.exp(0.1 * z));
    expectFeatures(
      features,
      rds.map((rd) => lawPlace(rd, 1600, 0.1)),
      2,
    );
  });

  test("of less than a reading there lets it be there is none", () => {
    // 3 V of 5 V: no less than 0.6 x 400 x 2.9 / 5 = 139 ohm.
    const rough = { noise: 50, halfStep: 0.01 };
    /** Its own places are wider than the axis. */
    const isLaw = ({ width }: Feature): boolean => width < 1;
    const { features } = featuresOf(
      pathOf([[], [reading(0, 3, rough)]]),
      { medianOhms: 150, logSd: 0.8 },
      still(434),
    );
    const rds = [0, 1].map((z) => 150 * Math.exp(0.8 * z));
    expectFeatures(
      features.filter(isLaw),
      rds.map((rd) => lawPlace(rd, 400, 0.8)),
      2,
    );
    // A reading in front of it says nothing of that; a low one there lets all be.
    for (const rows of [
      [[reading(0, 3, rough)], []],
      [[], [reading(0, 3, rough), reading(1, 0.1, rough)]],
    ]) {
      const all = featuresOf(pathOf(rows), { medianOhms: 150, logSd: 0.8 }, still(434)).features;
      expectFeatures(
        all.filter(isLaw),
        [-3, -2, -1, 0, 1].map((z) => lawPlace(150 * Math.exp(0.8 * z), 400, 0.8)),
        2,
      );
    }
  });

  test("along the way of a loop that moves", () => {
    const moving: MovingLoop = ({ emf }) => ({ ohms: 434 - 500 * (emf[0]! - 5), perOhm: 1 });
    const { features } = featuresOf(pathOf([[], []]), { medianOhms: 40, logSd: 0.2 }, moving, {
      emf: [[4.9, 5.1]],
    });
    const rds = [-3, -2, -1, 0, 1, 2, 3].map((z) => 40 * Math.exp(0.2 * z));
    expectFeatures(
      features,
      rds.map((rd) => lawPlace(rd, 450, 0.2, 350)),
      2,
    );
  });
});
