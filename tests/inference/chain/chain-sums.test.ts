import { describe, expect, test } from "vitest";
import {
  CABLE,
  FOULED,
  INTERMITTENT,
  OPEN,
  SOUND,
  wayOut,
} from "../../../src/inference/chain/adjoint.ts";
import {
  blockShelf,
  type ContactKernel,
  contactKernel,
  pushForward,
} from "../../../src/inference/chain/contact-kernel.ts";
import { buildMesh, panelTree } from "../../../src/inference/chain/mesh.ts";
import { backward, type ChainEnd } from "../../../src/inference/chain/messages.ts";
import {
  addPinned,
  nothingPinned,
  pinnedStates,
} from "../../../src/inference/chain/pinned-states.ts";
import type { PointLikelihoods } from "../../../src/inference/chain/point-likelihoods.ts";
import { blamelessLikelihood } from "../../../src/inference/chain/restricted.ts";
import { chainShape, statesOf, suffixAfter } from "../../../src/inference/chain/shape.ts";
import { chances, fouled, link, sound } from "../small-walks.ts";

/**
 * The chain's sums against every sequence of its contacts' states, one by one: three contacts, of which
 * the outer two sit in bodies, on a mesh of a few nodes. Between two points stands the same matrix as in
 * the messages, so that both agree to rounding, whatever the readings' likelihoods are.
 */
const mesh = buildMesh(panelTree(1000), []);
const size = mesh.t.length;
const links = [
  link(
    0,
    chances({ fouled: 0.1, open: 0.03, cable: 0.02, intermittent: 0.05 }),
    0,
    chances({ fouled: 0.5, open: 0.1, intermittent: 0.1 }),
  ),
  link(0, chances({ fouled: 0.2, open: 0.01, cable: 0.04, intermittent: 0.12 })),
  link(
    0,
    chances({ fouled: 0.15, cable: 0.05, intermittent: 0.2 }),
    1,
    chances({ fouled: 0.4, open: 0.2, cable: 0.01, intermittent: 0.08 }),
  ),
];
const shape = chainShape(links);
const [ofSound, ofFouled] = [sound, fouled].map((law) => contactKernel(mesh, blockShelf(law)));
const kernels = { sound: links.map(() => ofSound!), fouled: links.map(() => ofFouled!) };
/** Invented likelihoods, smooth as a mesh of few nodes has to have them. */
const falling = (rows: number, least: number, ohms: number): Float64Array =>
  Float64Array.from({ length: rows * size }, (_, at) => {
    const [row, t] = [Math.floor(at / size), mesh.t[at % size]!];
    return least + 0.7 / (1 + t / (ohms * (1 + row)));
  });
const plain = falling(3, 0.1, 50);
const shaky = falling(3, 0.2, 400);
const open = Float64Array.of(0.3, 0.25, 0.4);
const comes: PointLikelihoods = { plain, shaky, open };
const calm: PointLikelihoods = { plain, shaky: null, open };
const priors = [0.4, 0.3, 0.2, 0.1];

type State = "sound" | "fouled" | "open" | "cable" | "intermittent";
const NAMES: readonly State[] = ["sound", "fouled", "open", "cable", "intermittent"];
const sequences = (length: number): readonly (readonly State[])[] =>
  length === 0 ? [[]] : sequences(length - 1).flatMap((own) => NAMES.map((name) => [...own, name]));
const ALL = sequences(3);
const chancesAt = (k: number, c: number) =>
  links[k]!.states[k === 0 ? ((c & 1) as 0 | 1) : k === 2 ? ((c >> 1) as 0 | 1) : 0];
const isOpen = (state: State): boolean => state === "open" || state === "cable";

interface Case {
  readonly points: PointLikelihoods;
  readonly end: ChainEnd | null;
}
/** Readings of a path of these states, at one node of a point alone where that is asked. */
function seen(
  { points, end }: Case,
  states: readonly State[],
  c: number,
  at: { readonly link: number; readonly node: number } | null = null,
): number {
  const last = end?.link ?? 2;
  let row = new Float64Array(size);
  let isShaky = false;
  for (let k = 0; k <= last; k++) {
    const state = states[k]!;
    if (isOpen(state)) {
      // What is open shows so at every point from here on, and lies at no node.
      if (at !== null && at.link >= k) return 0;
      const alive = k === 0 ? 1 : row.reduce((sum, x) => sum + x, 0);
      const rest = points.open.slice(k, last + 1).reduce((product, x) => product * x, alive);
      return rest * (end?.ifOpen ?? 1);
    }
    if (state === "intermittent") isShaky = points.shaky !== null;
    const kernel: ContactKernel = (state === "fouled" ? kernels.fouled : kernels.sound)[k]!;
    if (k === 0) row = kernel.origin.slice();
    else {
      const next = new Float64Array(size);
      pushForward(kernel, row, 0, next, 0);
      row = next;
    }
    const shown = isShaky ? points.shaky! : points.plain;
    row = row.map((x, m) => (at?.link === k && at.node !== m ? 0 : x * shown[k * size + m]!));
  }
  if (end === null) return row.reduce((sum, x) => sum + x, 0);
  const suffix = last === 2 ? 0 : c >> 1;
  return row.reduce((sum, x, m) => sum + x * end.rows[suffix * size + m]!, 0);
}
/** A second contact that comes and goes counts as sound; all do where nobody asks. */
function chanceOf({ points }: Case, states: readonly State[], c: number): number {
  let second = points.shaky === null;
  return states.reduce((p, state, k) => {
    const own = chancesAt(k, c);
    const before = second;
    if (state === "intermittent") second = true;
    // Behind an open contact nothing is seen: there all states are the prior's again.
    if (isOpen(state) && points.shaky === null && !states.slice(0, k).some(isOpen)) second = false;
    if (!before) return p * own[state];
    if (state === "intermittent") return 0;
    return p * (own[state] + (state === "sound" ? own.intermittent : 0));
  }, 1);
}
const sumOver = (
  one: Case,
  c: number,
  of: (states: readonly State[]) => number = () => 1,
  at: Parameters<typeof seen>[3] = null,
): number =>
  ALL.reduce((sum, states) => {
    const weight = chanceOf(one, states, c) * of(states);
    return weight === 0 ? sum : sum + weight * seen(one, states, c, at);
  }, 0);

const shortEnd: ChainEnd = { link: 1, rows: falling(2, 0.4, 900), ifOpen: 0.7 };
const cases: readonly (readonly [string, Case])[] = [
  ["contacts that come and go", { points: comes, end: null }],
  ["contacts that count as sound", { points: calm, end: null }],
  [
    "something at the path's end",
    { points: comes, end: { link: 2, rows: falling(1, 0.05, 200), ifOpen: 0.3 } },
  ],
  ["an end in front of the last link", { points: comes, end: shortEnd }],
  ["the same, contacts counting as sound", { points: calm, end: shortEnd }],
];

describe.each(cases)("%s", (_, one) => {
  const last = one.end?.link ?? 2;
  const configurations = [0, 1, 2, 3];
  const run = () => {
    const messages = backward(shape, kernels, one.points, size, one.end);
    const whole = messages.likelihood.reduce((sum, x, c) => sum + priors[c]! * x, 0);
    const weights = Float64Array.from(priors, (p) => p / whole);
    return { messages, weights, scale: Math.exp(messages.logScale) };
  };
  const total = configurations.reduce((sum, c) => sum + priors[c]! * sumOver(one, c), 0);
  /** P(of a sequence | the readings), the configurations by their priors. */
  const posterior = (
    of: (states: readonly State[]) => number,
    at: Parameters<typeof seen>[3] = null,
  ): number =>
    configurations.reduce((sum, c) => sum + priors[c]! * sumOver(one, c, of, at), 0) / total;
  const isAlive = (states: readonly State[], upTo: number) =>
    !states.slice(0, upTo + 1).some(isOpen);

  test("the likelihood of each configuration", () => {
    const { messages, scale } = run();
    for (const c of configurations) {
      expect(messages.likelihood[c]! * scale).toBeCloseTo(sumOver(one, c), 12);
    }
  });

  test("states of each contact, behind an open one as the prior has them", () => {
    const { messages, weights } = run();
    const found: Float64Array[] = [];
    wayOut(
      ...([shape, kernels, one.points, messages, size, weights] as const),
      { states: (_k, own) => found.push(own.slice()), point: () => {} },
      last,
    );
    expect(found).toHaveLength(3);
    for (let k = 0; k < 3; k++) {
      for (const [x, name] of NAMES.entries()) {
        // Behind a chain's end the states of those that are alive are somebody else's to tell.
        const expected = posterior((states) =>
          states[k] === name && (k <= last || !isAlive(states, last)) ? 1 : 0,
        );
        expect(found[k]![x]).toBeCloseTo(expected, 12);
      }
    }
    expect([SOUND, FOULED, OPEN, CABLE, INTERMITTENT]).toEqual([0, 1, 2, 3, 4]);
  });

  test("the resistance up to each point, node by node", () => {
    const { messages, weights } = run();
    let points = 0;
    wayOut(
      ...([shape, kernels, one.points, messages, size, weights] as const),
      {
        states: () => {},
        point: (k, steady, unsteady, dead) => {
          points += 1;
          const opened = posterior((states) => (isAlive(states, k) ? 0 : 1));
          expect(dead).toBeCloseTo(opened, 12);
          const sum = (own: Float64Array | null) => own?.reduce((all, x) => all + x, 0) ?? 0;
          expect(sum(steady) + sum(unsteady) + dead).toBeCloseTo(1, 12);
          const comesBefore = (states: readonly State[]) =>
            states.slice(0, k + 1).includes("intermittent") ? 1 : 0;
          for (const node of [2, 7, 12]) {
            const at = { link: k, node };
            const bad = posterior(comesBefore, at);
            expect(steady[node]).toBeCloseTo(posterior(() => 1, at) - bad, 12);
            expect(unsteady?.[node] ?? 0).toBeCloseTo(bad, 12);
          }
        },
      },
      last,
    );
    expect(points).toBe(last + 1);
  });

  test("weights in front of each contact, by its state", () => {
    const { messages, weights } = run();
    wayOut(
      ...([shape, kernels, one.points, messages, size, weights] as const),
      {
        states: () => {},
        point: () => {},
        contact: (k, own) => {
          const against = (weight: Float64Array | null, values: Float64Array) =>
            weight?.reduce((sum, x, i) => sum + x * values[i]!, 0) ?? 0;
          const soundness = (states: readonly State[]) =>
            isAlive(states, k) && (states[k] === "sound" || states[k] === "intermittent") ? 1 : 0;
          const both =
            against(own.sound, messages.soundG[k]!) + against(own.shakySound, messages.soundH[k]!);
          expect(both).toBeCloseTo(posterior(soundness), 12);
          const foul =
            against(own.fouled, messages.fouledG[k]!) +
            against(own.shakyFouled, messages.fouledH[k]!);
          expect(foul).toBeCloseTo(
            posterior((states) => (isAlive(states, k) && states[k] === "fouled" ? 1 : 0)),
            12,
          );
          const unseen = (...names: readonly State[]) =>
            posterior((states) =>
              k > 0 && !isAlive(states, k - 1) && names.includes(states[k]!) ? 1 : 0,
            );
          expect(own.unseenSound).toBeCloseTo(unseen("sound", "intermittent"), 12);
          expect(own.unseenFouled).toBeCloseTo(unseen("fouled"), 12);
        },
      },
      last,
    );
  });

  test("that a connector is not to blame: its contact sound, or the cable in front of it broken", () => {
    const { messages, scale } = run();
    for (let k = 0; k < 3; k++) {
      const found = blamelessLikelihood(shape, kernels, one.points, messages, size, k, last);
      for (const c of configurations) {
        const good = ["sound", "cable", ...(one.points.shaky === null ? ["intermittent"] : [])];
        const isBlameless = (states: readonly State[]) => (good.includes(states[k]!) ? 1 : 0);
        // Behind a leak one that comes and goes is not told from a sound one.
        const own = chancesAt(k, c);
        const expected =
          k <= last
            ? sumOver(one, c, isBlameless)
            : (own.sound + own.cable + own.intermittent) * sumOver(one, c);
        expect(found[c]! * scale).toBeCloseTo(expected, 12);
      }
    }
  });

  test("states pinned, each in front of a first fault as it was", () => {
    const { messages, weights, scale } = run();
    const found = pinnedStates(shape, kernels, one.points, messages, size, weights, last);
    const pins: readonly (readonly State[])[] = [["sound"], ["fouled"], ["open"], ["intermittent"]];
    /** Sum over states in front by `front`, one pinned, those behind by their priors. */
    const pinned = (
      k: number,
      name: State,
      front: (
        states: readonly State[],
        own: (at: number) => ReturnType<typeof chancesAt>,
      ) => number,
      by: (own: ReturnType<typeof chancesAt>) => number = () => 1,
    ): number =>
      configurations.reduce(
        (sum, c) =>
          sum +
          weights[c]! *
            ALL.reduce((part, states) => {
              if (states[k] !== name) return part;
              const own = (at: number) => chancesAt(at, c);
              const weight = front(states.slice(0, k), own);
              if (weight === 0) return part;
              let second =
                one.points.shaky === null || states.slice(0, k + 1).includes("intermittent");
              const behind = states.slice(k + 1).reduce((p, state, i) => {
                const chance = own(k + 1 + i);
                const before = second;
                if (state === "intermittent") second = true;
                if (!before) return p * chance[state];
                if (state === "intermittent") return 0;
                return p * (chance[state] + (state === "sound" ? chance.intermittent : 0));
              }, 1);
              return part + weight * by(own(k)) * behind * seen(one, states, c);
            }, 0),
        0,
      ) / scale;
    const allSound = (states: readonly State[]) => (states.every((x) => x === "sound") ? 1 : 0);
    /** Sound until a fouled contact, from there on by the priors, none of which comes and goes. */
    const steady = (
      states: readonly State[],
      own: (at: number) => ReturnType<typeof chancesAt>,
    ) => {
      const first = states.indexOf("fouled");
      if (first < 0) return 0;
      return states.reduce((p, state, at) => {
        if (at < first) return state === "sound" ? p : 0;
        const { sound: s, fouled: f, intermittent } = own(at);
        if (state === "fouled") return p * f;
        const stays = one.points.shaky === null ? s + intermittent : s;
        return state === "sound" ? p * stays : 0;
      }, 1);
    };
    /** The same until one comes and goes, behind which another that does counts as sound. */
    const shakyFront: typeof steady = (states, own) => {
      const at = states.indexOf("intermittent");
      if (at < 0) return 0;
      const before = states.slice(0, at);
      const reached = allSound(before) + steady(before, own);
      return states.slice(at + 1).reduce((p, state, i) => {
        const { sound: s, fouled: f, intermittent } = own(at + 1 + i);
        return p * (state === "fouled" ? f : state === "sound" ? s + intermittent : 0);
      }, reached * own(at).intermittent);
    };
    /** The mean of what is pinned, by the contact's own chances. */
    const meanOf = (k: number, front: typeof steady): number =>
      pinned(k, "sound", front, ({ sound: s }) => s) +
      pinned(k, "fouled", front, ({ fouled: f }) => f) +
      pinned(k, "open", front, ({ open: o, cable }) => o + cable) +
      pinned(
        k,
        front === shakyFront ? "sound" : "intermittent",
        front,
        ({ intermittent }) => intermittent,
      );
    for (let k = 0; k <= last; k++) {
      expect(found.steady[k]![4]).toBeCloseTo(meanOf(k, steady), 11);
      const isAsked = one.points.shaky !== null;
      expect(found.shaky[k]![4]).toBeCloseTo(isAsked ? meanOf(k, shakyFront) : 0, 11);
      for (const [x, name] of (["sound", "fouled", "open", "sound"] as const).entries()) {
        expect(found.shaky[k]![x]).toBeCloseTo(isAsked ? pinned(k, name, shakyFront) : 0, 11);
      }
      for (const [x, [name]] of pins.entries()) {
        // One that comes and goes counts as sound where nobody asks: its readings are the plain ones.
        if (x > 0) expect(found.first[k]![x - 1]).toBeCloseTo(pinned(k, name!, allSound), 11);
        expect(found.steady[k]![x]).toBeCloseTo(pinned(k, name!, steady), 11);
      }
    }
    expect(found.sound).toBeCloseTo(pinned(last, "sound", allSound), 11);
    // Behind a chain's end nothing is told of any state.
    for (let k = last + 1; k < 3; k++) {
      for (const value of found.first[k]!) expect(value).toBeCloseTo(found.sound, 12);
      for (const value of found.steady[k]!) expect(value).toBeCloseTo(found.steady[last]![4]!, 12);
      for (const value of found.shaky[k]!) expect(value).toBeCloseTo(found.shaky[last]![4]!, 12);
    }
  });

  test("two sums of pinned states add row by row, the second times a factor", () => {
    const { messages, weights } = run();
    const found = pinnedStates(shape, kernels, one.points, messages, size, weights, last);
    const sum = addPinned(addPinned(nothingPinned(3), found, 1), found, 0.5);
    expect(sum.sound).toBeCloseTo(1.5 * found.sound, 12);
    for (const of of ["first", "steady", "shaky"] as const) {
      for (const [k, row] of found[of].entries()) {
        expect(sum[of][k]).toHaveLength(row.length);
        for (const [x, value] of row.entries()) expect(sum[of][k]![x]).toBeCloseTo(1.5 * value, 12);
      }
    }
  });

  test("scales of any size leave all as it is", () => {
    const { messages } = run();
    const small = {
      ...one.points,
      plain: plain.map((x) => x * 1e-150),
      shaky: one.points.shaky === null ? null : shaky.map((x) => x * 1e-150),
      open: open.map((x) => x * 1e-150),
    };
    const tiny = backward(shape, kernels, small, size, one.end);
    const log = (own: typeof tiny, c: number) => Math.log(own.likelihood[c]!) + own.logScale;
    for (const c of configurations) {
      expect(log(tiny, c) - log(messages, c)).toBeCloseTo((last + 1) * Math.log(1e-150), 9);
    }
  });
});

test("a chain's configurations: a bit for each body, from the timer out", () => {
  const { bodies, configurations, mayComeAndGo, links: shaped } = shape;
  expect({ bodies, configurations, mayComeAndGo }).toEqual({
    ...{ bodies: [0, 1], configurations: 4, mayComeAndGo: true },
  });
  // Behind the first link the second body alone is still open, behind the last none.
  expect(shaped.map(({ suffixes }) => suffixes)).toEqual([2, 2, 1]);
  expect(shaped.map(({ bitsBefore }) => bitsBefore)).toEqual([0, 1, 1]);
  expect([0, 1, 2, 3].map((q) => suffixAfter(shaped[0]!, q))).toEqual([0, 0, 1, 1]);
  expect([0, 1].map((q) => suffixAfter(shaped[1]!, q))).toEqual([0, 1]);
  expect([0, 1, 2, 3].map((q) => statesOf(shaped[0]!, q))).toEqual(
    [0, 1, 0, 1].map((state) => links[0]!.states[state as 0 | 1]),
  );
  expect([0, 1].map((q) => statesOf(shaped[1]!, q))).toEqual([
    links[1]!.states[0],
    links[1]!.states[0],
  ]);
  const still = chainShape([link(0, chances({ fouled: 0.5 }))]);
  expect(still).toMatchObject({ bodies: [], configurations: 1, mayComeAndGo: false });
  const dirty = chainShape([link(0, chances({}), 3, chances({ intermittent: 0.1 }))]);
  expect(dirty).toMatchObject({ bodies: [3], configurations: 2, mayComeAndGo: true });
});
