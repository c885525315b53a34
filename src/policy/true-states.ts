import {
  type ContactChain,
  type Entry,
  type ModeBlock,
  ofKind,
  troubleWeeks,
} from "./contact-chain.ts";
import { inwardOf, type Onward, onwardOf, stepChances } from "./push.ts";

/**
 * A contact chain as it truly is, to be followed forward: whether trouble is film or oxide, which a
 * policy can only weigh, is a state here, and the body's age is left to body-ages.ts. A chance of
 * oxide is these states in its shares, so all expectations are the chain's own; only that a contact
 * which was cured, and so is film for certain, fouls anew as a new contact does must be known besides:
 *
 *     each level cured | film | oxide | open | open for good | intermittent | so for good
 */
export interface TrueStates {
  readonly chain: ContactChain;
  readonly blocks: readonly TrueBlock[];
  readonly size: number;
  /** A new contact. */
  readonly fresh: readonly Entry[];
  /** State of one age of the chain that reads and costs as each does. */
  readonly alike: Int32Array;
  /** What a cleaning leaves of each state where it stands; of what conducts, the rest is cured. */
  readonly stays: Float64Array;
  /** Weeks until the next walk in which its path reads low, of each state. */
  readonly low: Float64Array;
  /** Chances of one step, by name. */
  readonly mends: number;
  readonly fouled: number;
  readonly faulty: readonly number[];
}

/** One mode's states. */
export interface TrueBlock {
  readonly start: number;
  /** Number of its levels. */
  readonly levels: number;
  /** First of the four states without a level. */
  readonly others: number;
  readonly end: number;
  /** What comes to each level of what conducts. */
  readonly inward: Onward;
  /** Where it stands once cured, and once mended of being open or intermittent. */
  readonly floor: readonly Entry[];
  readonly mended: readonly Entry[];
  /** Where one goes that fouls at a stroke, by what it is. */
  readonly fouled: readonly (readonly Entry[])[];
}

/** What conducts is cured, film or oxide. */
export const CLASSES = 3;

/** A chance of oxide as film and oxide; none at all is cured. */
const sharesOf = (oxide: number): readonly number[] =>
  oxide === 0 ? [1, 0, 0] : [0, 1 - oxide, oxide];

/** Entries of a block's first kind, of some chance of oxide. */
const spread = (
  entries: readonly Entry[],
  from: ModeBlock,
  start: number,
  oxide: number,
): readonly Entry[] =>
  sharesOf(oxide).flatMap((share, c) =>
    share === 0
      ? []
      : entries.map(({ state, weight }) => ({
          state: state - from.start + start + c * from.levels.length,
          weight: share * weight,
        })),
  );

function blockOf(chain: ContactChain, block: ModeBlock, start: number): TrueBlock {
  const { length } = block.levels;
  const others = start + CLASSES * length;
  const { oxide } = chain.law;
  const at = (chance: number, entries: readonly Entry[]) => spread(entries, block, start, chance);
  const film = at(0, block.fouled).map(({ state, weight }) => ({ state: state + length, weight }));
  return {
    start,
    levels: length,
    others,
    end: others + 4,
    inward: inwardOf(onwardOf(chain, block)),
    floor: at(0, block.floor),
    mended: at(oxide, block.floor),
    fouled: [at(oxide, block.fouled), film, at(1, block.fouled)],
  };
}

const known = new WeakMap<ContactChain, TrueStates>();

/** The true states of a chain, laid out once. */
export function trueStates(chain: ContactChain): TrueStates {
  const before = known.get(chain);
  if (before !== undefined) return before;
  const blocks: TrueBlock[] = [];
  let size = 0;
  for (const block of chain.blocks) {
    blocks.push(blockOf(chain, block, size));
    size = blocks.at(-1)!.end;
  }
  const { cure } = chain.law;
  const alike = new Int32Array(size);
  const stays = new Float64Array(size).fill(1);
  for (const [k, { start, levels, others }] of blocks.entries()) {
    const from = chain.blocks[k]!;
    for (let at = start; at < others; at++) alike[at] = from.start + ((at - start) % levels);
    for (let k = 0; k < 4; k++) alike[others + k] = k + from.open;
    stays.fill(1 - cure, start, start + 2 * levels);
    stays[others] = 0;
    stays[others + 2] = 0;
  }
  const fresh = blocks.flatMap(({ mended }, k) =>
    mended.map(({ state, weight }) => ({ state, weight: weight * chain.law.modes[k]!.weight })),
  );
  const { mends, fouled, faulty } = stepChances(chain);
  const { low: lowOfOne } = troubleWeeks(chain);
  const low = Float64Array.from(alike, (at) => lowOfOne[at]!);
  const states = { chain, blocks, size, fresh, alike, stays, low, mends, fouled, faulty };
  known.set(chain, states);
  return states;
}

/** A table of one age of the chain, as one of the true states. */
export const asTrue = ({ alike }: TrueStates, table: Float64Array): Float64Array =>
  Float64Array.from(alike, (at) => table[at]!);

/** Gives each chance of a chain's states of all ages to the true states that it stands for. */
export function eachTrue(
  { chain, blocks }: TrueStates,
  start: Float64Array,
  give: (state: number, mode: number, age: number, chance: number) => void,
): void {
  for (const a of chain.ages.keys())
    for (const [mode, block] of blocks.entries()) {
      const from = chain.blocks[mode]!;
      const move = (at: number, to: number, share: number): void => {
        const here = start[a * chain.size + at]!;
        if (here > 0) give(to, mode, a, share * here);
      };
      for (const [kind, oxide] of chain.kinds.oxide.entries())
        for (const [c, share] of sharesOf(oxide).entries())
          for (let j = 0; share > 0 && j < block.levels; j++)
            move(ofKind(from, from.start + j, kind), block.start + c * block.levels + j, share);
      for (let k = 0; k < 4; k++) move(from.open + k, block.others + k, 1);
    }
}
