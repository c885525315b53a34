import type { LinkProblem, StateChances } from "../problem.ts";

/**
 * The chain of a circuit with the body states counted out.
 *
 * A **configuration** is an integer: bit n is set where the n-th shared connector on the way from
 * the timer is contaminated. Behind link i only the bits of later links matter: that is link i's
 * **suffix**, the configuration shifted right by `sharedBefore[i + 1]`.
 */
export interface ChainShape {
  readonly links: readonly ShapedLink[];
  /** Number of configurations, a power of two. */
  readonly configurations: number;
  /** Bodies on the way, from the timer: the bit's number is the place in this list. */
  readonly bodies: readonly number[];
  /** Some contact may be intermittent. */
  readonly mayComeAndGo: boolean;
}

export interface ShapedLink {
  readonly shared: boolean;
  /** Number of suffixes behind this link. */
  readonly suffixes: number;
  /** How many bits of a configuration belong to links before this one. */
  readonly bitsBefore: number;
  readonly states: readonly [StateChances, StateChances];
}

export function chainShape(links: readonly LinkProblem[]): ChainShape {
  const bodies = links.flatMap(({ body }) => (body === null ? [] : [body]));
  let before = 0;
  const shaped = links.map((link): ShapedLink => {
    const shared = link.body !== null;
    const bitsBefore = before;
    if (shared) before++;
    return {
      shared,
      bitsBefore,
      suffixes: 1 << (bodies.length - before),
      states: link.states,
    };
  });
  const mayComeAndGo = links.some(({ states }) => states.some((s) => s.intermittent > 0));
  return { links: shaped, configurations: 1 << bodies.length, bodies, mayComeAndGo };
}

/** The states of a link's contact for the suffix of the link before it. */
export const statesOf = (link: ShapedLink, suffixBefore: number): StateChances =>
  link.states[link.shared ? ((suffixBefore & 1) as 0 | 1) : 0];

/** The suffix behind a link, from the suffix of the link before it. */
export const suffixAfter = (link: ShapedLink, suffixBefore: number): number =>
  link.shared ? suffixBefore >> 1 : suffixBefore;
