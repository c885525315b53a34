import type { ChainPool } from "./chain-pool.ts";

/** P(state of a contact), by the state of its connector's body: [clean, contaminated]. */
export interface LinkPrior {
  /** The connector has a body state, shared by more than one circuit. */
  readonly shared: boolean;
  readonly contaminated: number;
  readonly sound: readonly [number, number];
  readonly fouled: readonly [number, number];
  readonly open: readonly [number, number];
}

/**
 * The prior of every link of the chain, with the body states counted out.
 *
 * A **body configuration** of a chain is an integer: bit `n` is set where the `n`-th shared
 * connector, counted from the timer, is contaminated.
 */
export interface ChainPrior {
  readonly links: readonly LinkPrior[];
  /** `sharedBefore[i]`: how many of the first `i` links are shared; one more entry than links. */
  readonly sharedBefore: readonly number[];
  /** Which bits of a configuration belong to connectors that the whole pool shares. */
  readonly poolBits: number;
  /** Number of body configurations. */
  readonly configurations: number;
  /** `suffixes[i]`: how many configurations the shared links behind link `i` have. */
  readonly suffixes: readonly number[];
  /** Where the messages of a circuit are kept, link by link. */
  readonly rows: readonly MessageRows[];
}

/**
 * A circuit's messages are rows, each a value for every node of its mesh: first one for each link,
 * then for each link three by suffix configuration. These are the numbers of their first rows.
 */
export interface MessageRows {
  readonly g: number;
  readonly soundG: number;
  readonly fouledG: number;
  /** The row behind the link's last. */
  readonly end: number;
}

/** P(open) is a tenth of P(fouled), P(sound) the rest. */
export const OPEN_PER_FOULED = 0.1;

export function chainPrior(pool: ChainPool): ChainPrior {
  const links = pool.chain.map((link): LinkPrior => {
    const shared = link.sharedBy !== "device";
    const fouled = [link.fouled, shared ? link.fouledIfContaminated : link.fouled] as const;
    const open = [OPEN_PER_FOULED * fouled[0], OPEN_PER_FOULED * fouled[1]] as const;
    return {
      shared,
      contaminated: shared ? link.contaminated : 0,
      sound: [1 - fouled[0] - open[0], 1 - fouled[1] - open[1]],
      fouled,
      open,
    };
  });
  const sharedBefore = [0];
  let poolBits = 0;
  for (const [i, link] of pool.chain.entries()) {
    const count = sharedBefore[i]!;
    if (link.sharedBy === "pool") poolBits |= 1 << count;
    sharedBefore.push(links[i]!.shared ? count + 1 : count);
  }
  const shared = sharedBefore.at(-1)!;
  const suffixes = links.map((_, i) => 1 << (shared - sharedBefore[i + 1]!));
  const rows: MessageRows[] = [];
  for (const count of suffixes) {
    const g = rows.at(-1)?.end ?? links.length;
    rows.push({ g, soundG: g + count, fouledG: g + 2 * count, end: g + 3 * count });
  }
  return { links, sharedBefore, poolBits, configurations: 1 << shared, suffixes, rows };
}

/** ln P(configuration), over the bits of `mask` only. */
export function logConfigurationPrior(
  prior: ChainPrior,
  configuration: number,
  mask: number,
): number {
  let sum = 0;
  for (const [i, link] of prior.links.entries()) {
    const bit = 1 << prior.sharedBefore[i]!;
    if (!link.shared || (mask & bit) === 0) continue;
    sum += Math.log(configuration & bit ? link.contaminated : 1 - link.contaminated);
  }
  return sum;
}
