/**
 * Walks drawn from the model itself, term by term: EMF, drift, noise's scale, bodies, contacts of
 * every state, what conducts, wide normals, misread values, bad moments and displays that went off.
 */
import { loopVolts, sourceBehind } from "../../../src/circuit/conducting.ts";
import { readingVolts } from "../../../src/circuit/divider.ts";
import { ohms, volts } from "../../../src/domain/units.ts";
import {
  exactOhms,
  type LinkProblem,
  type ReadingProblem,
  type StateChances,
  type WalkProblem,
} from "../../../src/inference/problem.ts";

export type Uniform = () => number;

/** Numerical Recipes' quick generator: the same walks at every run. */
export function seededUniform(seed: number): Uniform {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state + 0.5) / 2 ** 32;
  };
}

const sound = [{ share: 1, medianOhms: 0.2, logSd: 0.8 }];
const fouled = [
  { share: 0.6, medianOhms: 60, logSd: 1.2 },
  { share: 0.4, medianOhms: 10_000, logSd: 3 },
];
const STEP = 0.01;
const NOISE = 0.02;
const MISREAD = 0.003;
const BLANK = 0.0025;

const chances = (faulty: number, intermittent: number): StateChances => ({
  sound: 1 - 1.1 * faulty - 0.002 - intermittent,
  fouled: faulty,
  open: 0.1 * faulty,
  cable: 0.002,
  intermittent,
});

/** The one of several, each with its chance, that a uniform number falls on; null: none of them. */
function pickOne<One extends { readonly chance: number }>(
  ones: readonly One[],
  uniform: number,
): One | null {
  let before = 0;
  for (const one of ones) {
    before += one.chance;
    if (uniform < before) return one;
  }
  return null;
}

/** Who shares it, copper [ohm], P(contaminated), P(fouled | clean), P(intermittent). */
const links = [
  ["pool", 0.1, 0.02, 0.01, 0.005],
  ["lane", 0.6, 0.04, 0.01, 0.005],
  ["lane", 2, 0.08, 0.02, 0.005],
  ["device", 0.3, 0, 0.12, 0.02],
] as const;

/** A walk of `lanes` times `devices` circuits, every point read once, lane by lane. */
export function drawModelWalk(lanes: number, devices: number, uniform: Uniform): WalkProblem {
  const normal = (): number =>
    Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
  const draw = (law: typeof fouled): number => {
    const part = law.length === 1 || uniform() < law[0]!.share ? law[0]! : law[1]!;
    return part.medianOhms * Math.exp(part.logSd * normal());
  };
  const emf = 5 + 0.05 * normal();
  const drift = 0.02 * normal();
  const scale = Math.exp(0.3 * normal());
  const bodies: { contaminated: number; is: boolean }[] = [];
  const bodyOf = new Map<string, number>();
  const count = lanes * devices * links.length;
  let index = 0;
  let off = false;
  const shownBy = (at: number): number => {
    if (uniform() < MISREAD) return Math.round((5.5 * uniform()) / STEP) * STEP;
    const s = NOISE * scale * (uniform() < 0.05 ? 3 : 1);
    return Math.max(0, Math.round((at + s * normal()) / STEP) * STEP);
  };
  const circuits = Array.from({ length: lanes * devices }, (_, c) => {
    const lane = Math.floor(c / devices);
    const conductingKinds = [
      { kind: "stuck", link: 3, chance: 0.005, medianOhms: 2, logSd: 1 },
      { kind: "leaking", link: 3, chance: 0.01, medianOhms: 2000, logSd: 1.5 },
      { kind: "wet", link: 2, chance: 0.003, medianOhms: 2000, logSd: 1.5 },
      { kind: "wet", link: 3, chance: 0.003, medianOhms: 2000, logSd: 1.5 },
    ] as const;
    const conducts = pickOne(conductingKinds, uniform());
    const loop = conducts === null ? 0 : conducts.medianOhms * Math.exp(conducts.logSd * normal());
    let steady = conducts !== null;
    const path = links.map(([by, wireOhms, contaminated, clean, comes], k) => {
      let body: number | null = null;
      if (by !== "device") {
        const key = by === "pool" ? `${k}` : `${k} ${lane}`;
        body = bodyOf.get(key) ?? bodies.length;
        if (body === bodies.length) bodies.push({ contaminated, is: uniform() < contaminated });
        bodyOf.set(key, body);
      }
      const states = [chances(clean, comes), chances(body === null ? clean : 0.7, comes)] as const;
      const own = states[body !== null && bodies[body]!.is ? 1 : 0];
      const faults = (["fouled", "open", "cable", "intermittent"] as const).map((name) => ({
        name,
        chance: own[name],
      }));
      const state = pickOne(faults, uniform())?.name ?? "sound";
      const shaky = state === "intermittent" && !steady;
      if (shaky) steady = true;
      const open = state === "open" || state === "cable";
      const r = open ? Number.POSITIVE_INFINITY : draw(state === "fouled" ? fouled : sound);
      const link: LinkProblem = { wireOhms, body, states, sound, fouled };
      return { link, r, shaky };
    });
    const readings = path.map((_, k) => {
      const j = index++;
      const order = count > 1 ? j / (count - 1) - 0.5 : 0;
      const isShaky = path.slice(0, k + 1).some(({ shaky }) => shaky) && uniform() < 0.3;
      const extra = isShaky ? (uniform() < 0.7 ? draw(fouled) : Number.POSITIVE_INFINITY) : 0;
      const upTo = (to: number): number =>
        path.slice(0, to + 1).reduce((sum, { link, r }) => sum + link.wireOhms + r, extra);
      const e = volts(emf + drift * order);
      const load = ohms(1000);
      let at: number;
      if (conducts === null || upTo(conducts.link) === Number.POSITIVE_INFINITY) {
        at = readingVolts(e, load, ohms(0), ohms(upTo(k)));
      } else if (k <= conducts.link) {
        const rest = upTo(conducts.link) - upTo(k) + loop;
        at = loopVolts(e, load, ohms(upTo(k)), ohms(rest));
      } else {
        const behind = sourceBehind(e, ohms(upTo(conducts.link)), ohms(loop));
        at = readingVolts(behind.emf, load, behind.ohms, ohms(upTo(k) - upTo(conducts.link)));
      }
      const wouldShow = shownBy(at);
      // A display that is on goes off only where a zero is written: the run of zeros says the rest.
      off = off ? uniform() < 0.5 : uniform() < BLANK;
      const shown = off ? 0 : wouldShow;
      const reading: ReadingProblem = {
        ...{ index: j, shown, halfStep: STEP / 2, noise: NOISE, meter: 0, order },
        ...{ slope: 1 - MISREAD, tails: 0.05, floor: (MISREAD * STEP) / 5.5, badMoment: 0.3 },
      };
      return [reading];
    });
    return {
      supply: 0,
      links: path.map(({ link }) => link),
      readings,
      pressed: path.map(() => []),
      conducting: conductingKinds,
      limitOhms: 41.7,
    };
  });
  return {
    supplies: [{ emf: 5, emfSd: 0.05, sourceOhms: exactOhms(0) }],
    loads: [exactOhms(1000)],
    driftSd: 0.02,
    noiseLogSd: 0.3,
    badMoments: { fouled: 0.7, law: fouled },
    bodies: bodies.map(({ contaminated }) => ({ contaminated })),
    circuits,
    zeroRuns: zeroRunsOf(circuits.flatMap(({ readings }) => readings.flat())),
  };
}

function zeroRunsOf(readings: readonly ReadingProblem[]): WalkProblem["zeroRuns"] {
  const runs: { readings: number[]; off: number[]; stays: number; followed: boolean }[] = [];
  let open = false;
  for (const { index, shown } of readings) {
    if (shown > 0) {
      open = false;
      continue;
    }
    if (!open) runs.push({ readings: [], off: [], stays: 0.5, followed: false });
    open = true;
    const run = runs.at(-1)!;
    run.readings.push(index);
    run.off.push(BLANK);
    run.followed = index + 1 < readings.length;
  }
  return runs;
}
