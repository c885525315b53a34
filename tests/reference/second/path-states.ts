import type { Circuit, Walk } from "./read-circuits.ts";

/** A contact's state; an open one is broken in the connector (`o`) or in its link's cable (`c`). */
export type State = "s" | "f" | "o" | "c" | "i";

export const allStates: readonly State[] = ["s", "f", "o", "c", "i"];

/** What conducts across a circuit's pair: nothing, or one thing at one place. */
export interface Conducting {
  readonly kind: "none" | "stuck" | "leaking" | "wet";
  /** Index of the point; the last one for the device's own. */
  readonly at: number;
  readonly prior: number;
}

/** Every contact's state on one circuit's way, and what conducts. */
export interface PathState {
  readonly conducting: Conducting;
  readonly states: readonly State[];
  /** Index of the leaf (see `Leaf`) whose integral this state shares. */
  readonly leaf: number;
}

/** What an integral over resistances depends on: states up to the first open contact, and Rd. */
export interface Leaf {
  /** States of the links in front of the first open one: `s`, `f` or `i`. */
  readonly finite: readonly ("s" | "f" | "i")[];
  /** True where an open contact follows the finite ones. */
  readonly cut: boolean;
  /** Where something conducts, and whether by a closed switch or by water. */
  readonly shunt: { readonly at: number; readonly law: "closed" | "water" } | null;
}

/** Law of the resistance of what conducts: log-normal. */
export const shuntLaws = {
  closed: { median_ohms: 2, log_sd: 1 },
  water: { median_ohms: 2000, log_sd: 1.5 },
} as const;

/** What may conduct on a circuit, with its chances (model, section 4). */
export const conductingOf = (walk: Walk, circuit: Circuit): Conducting[] => {
  const last = circuit.path.length - 1;
  const things: Conducting[] = [
    { kind: "stuck", at: last, prior: walk.model.stuck },
    { kind: "leaking", at: last, prior: walk.model.leaking },
    ...circuit.path.flatMap(({ wet }, at): Conducting[] =>
      wet ? [{ kind: "wet", at, prior: walk.model.wet_leak }] : [],
    ),
  ];
  const some = things.reduce((sum, { prior }) => sum + prior, 0);
  return [{ kind: "none", at: last, prior: 1 - some }, ...things].filter(
    ({ prior }) => prior > 0,
  ) as Conducting[];
};

const sequences = (length: number, withIntermittent: boolean): State[][] => {
  let all: State[][] = [[]];
  for (let k = 0; k < length; k++) {
    all = all.flatMap((before) =>
      allStates
        .filter((s) => s !== "i" || (withIntermittent && !before.includes("i")))
        .map((s) => [...before, s]),
    );
  }
  return all;
};

const leafOf = ({ kind, at }: Conducting, states: readonly State[]): Leaf => {
  const open = states.findIndex((s) => s === "o" || s === "c");
  const finite = (open < 0 ? states : states.slice(0, open)) as Leaf["finite"];
  const reached = kind !== "none" && at < finite.length;
  const shunt = reached ? ({ at, law: kind === "stuck" ? "closed" : "water" } as const) : null;
  return { finite, cut: open >= 0, shunt };
};

/** All states that a circuit's way can be in, and the different integrals that they need. */
export const pathStates = (
  walk: Walk,
  circuit: Circuit,
): { readonly states: readonly PathState[]; readonly leaves: readonly Leaf[] } => {
  const leaves: Leaf[] = [];
  const known = new Map<string, number>();
  const states = conductingOf(walk, circuit).flatMap((conducting) =>
    sequences(circuit.path.length, conducting.kind === "none").map((sequence): PathState => {
      const leaf = leafOf(conducting, sequence);
      const name = JSON.stringify(leaf);
      if (!known.has(name)) known.set(name, leaves.push(leaf) - 1);
      return { conducting, states: sequence, leaf: known.get(name)! };
    }),
  );
  return { states, leaves };
};

/**
 * Chance of a path's state where bit k of `mask` says that the body of link k is contaminated.
 * The intermittent chance goes to *sound* behind the first such contact and where Rd conducts.
 */
export const priorOf = (
  walk: Walk,
  circuit: Circuit,
  { conducting, states }: PathState,
  mask: number,
): number => {
  const { open_per_fouled: perFouled, cable_break: cable } = walk.model;
  let chance = conducting.prior;
  let mayComeAndGo = conducting.kind === "none";
  states.forEach((state, k) => {
    const contact = circuit.path[k]!;
    const fouled = contact.fouled[(mask >> k) & 1]!;
    const faulty = fouled * (1 + perFouled) + cable;
    const chances = {
      s: 1 - faulty - (mayComeAndGo ? contact.intermittent : 0),
      f: fouled,
      o: fouled * perFouled,
      c: cable,
      i: mayComeAndGo ? contact.intermittent : 0,
    };
    chance *= chances[state];
    if (state === "i") mayComeAndGo = false;
  });
  return chance;
};
