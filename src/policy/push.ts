import { type ContactChain, type Entry, type ModeBlock, ofKind } from "./contact-chain.ts";

/**
 * The forward twin of carry.ts: where chances of states go by the next check. It is its transpose:
 * for every row of values v and chances m, `sum m carry(v) = sum push(m) v`.
 */
export function push(chain: ContactChain, mass: Float64Array, out: Float64Array): void {
  const { size, ages, ageing } = chain;
  out.fill(0);
  const flow = flowOf(chain);
  const moved = new Float64Array(size);
  for (let a = 0; a < ages.length; a++) {
    moved.fill(0);
    const q = ageing[a]!;
    const younger = a === 0 ? 0 : ageing[a - 1]!;
    let any = false;
    for (let s = 0; s < size; s++) {
      const here = (1 - q) * mass[a * size + s]!;
      const before = a === 0 ? 0 : younger * mass[(a - 1) * size + s]!;
      moved[s] = here + before;
      any ||= moved[s]! > 0;
    }
    if (any)
      chain.blocks.forEach((block, k) => {
        pushBlock(chain, block, flow, flow.onward[k]!, moved, out, a * size);
      });
  }
}

/** Chances of one step of a chain. */
export interface StepChances {
  /** Fouls at a stroke. */
  readonly fouled: number;
  /** To open, open for good, intermittent and so for good: chances that add to what goes faulty. */
  readonly faulty: readonly [number, number, number, number];
  readonly mends: number;
  readonly stays: number;
  readonly storm: number;
}

/** The chances of one step. */
export function stepChances({ law, weeks }: ContactChain): StepChances {
  const { rates, mendable, steps } = law;
  const chance = (rate: number): number => -Math.expm1(-rate * weeks);
  const [fouls, opens, comes] = [
    chance(rates.fouled),
    chance(rates.open),
    chance(rates.intermittent),
  ];
  const loose = (1 - opens) * comes;
  return {
    fouled: (1 - opens) * (1 - comes) * fouls,
    faulty: [opens * mendable, opens * (1 - mendable), loose * mendable, loose * (1 - mendable)],
    mends: chance(rates.mends),
    stays: (1 - fouls) * (1 - opens) * (1 - comes),
    storm: chance(steps.perWeek),
  };
}

/** State of the kth way to be without a level: open, open for good, intermittent and so for good. */
export const otherAt = ({ open, intermittent }: ModeBlock, k: number): number =>
  (k < 2 ? open : intermittent) + (k % 2);

/** Chances of one step and where they lead, reckoned once: a chain is pushed hundreds of times. */
export interface Flow extends StepChances {
  /** Of each block. */
  readonly onward: readonly Onward[];
}

/** Growth and storms of what stays: level j goes to the levels `to` from `first[j]` up to the next's. */
export interface Onward {
  readonly first: Int32Array;
  readonly to: Int32Array;
  readonly weight: Float64Array;
}

const flows = new WeakMap<ContactChain, Flow>();

export function flowOf(chain: ContactChain): Flow {
  const known = flows.get(chain);
  if (known !== undefined) return known;
  const onward = chain.blocks.map((block) => onwardOf(chain, block));
  const flow: Flow = { onward, ...stepChances(chain) };
  flows.set(chain, flow);
  return flow;
}

/** The same moves by where they lead: level j comes from the levels `to` with these weights. */
export function inwardOf({ first, to, weight }: Onward): Onward {
  const levels = first.length - 1;
  const into: { readonly from: number; readonly weight: number }[][] = Array.from(
    { length: levels },
    () => [],
  );
  for (let from = 0; from < levels; from++)
    for (let k = first[from]!; k < first[from + 1]!; k++)
      into[to[k]!]!.push({ from, weight: weight[k]! });
  const starts = new Int32Array(levels + 1);
  for (let j = 0; j < levels; j++) starts[j + 1] = starts[j]! + into[j]!.length;
  const all = into.flat();
  return {
    first: starts,
    to: Int32Array.from(all, ({ from }) => from),
    weight: Float64Array.from(all, (each) => each.weight),
  };
}

/** Where one block's levels go that neither foul nor fail. */
export function onwardOf(chain: ContactChain, { levels, next, risen }: ModeBlock): Onward {
  const { stays, storm } = stepChances(chain);
  const first = new Int32Array(levels.length + 1);
  const [to, weight]: [number[], number[]] = [[], []];
  const ways = [
    { weight: 1 - storm, to: next },
    ...risen.map((each) => ({ ...each, weight: storm * each.weight })),
  ];
  for (let j = 0; j < levels.length; j++) {
    const sums = new Map<number, number>();
    for (const way of ways) {
      const [index, part] = [way.to.index[j]!, way.to.part[j]!];
      sums.set(index, (sums.get(index) ?? 0) + (1 - part) * way.weight);
      sums.set(index + 1, (sums.get(index + 1) ?? 0) + part * way.weight);
    }
    for (const [level, share] of sums) {
      if (share === 0) continue;
      to.push(level);
      weight.push(stays * share);
    }
    first[j + 1] = to.length;
  }
  return { first, to: Int32Array.from(to), weight: Float64Array.from(weight) };
}

function addEntries(
  entries: readonly Entry[],
  mass: number,
  out: Float64Array,
  offset: number,
): void {
  for (const { state, weight } of entries) out[offset + state]! += mass * weight;
}

function pushBlock(
  { kinds }: ContactChain,
  block: ModeBlock,
  flow: Flow,
  { first, to, weight }: Onward,
  mass: Float64Array,
  out: Float64Array,
  offset: number,
): void {
  const shift = block.levels.length;
  let all = 0;
  for (let kind = 0; kind < kinds.oxide.length; kind++) {
    const start = ofKind(block, block.start, kind);
    let whole = 0;
    for (let j = 0; j < shift; j++) {
      const here = mass[start + j]!;
      if (here === 0) continue;
      whole += here;
      const end = first[j + 1]!;
      for (let k = first[j]!; k < end; k++) out[offset + start + to[k]!]! += here * weight[k]!;
    }
    if (whole === 0) continue;
    all += whole;
    const fouledAs = Math.max(kind, kinds.fresh) * shift;
    addEntries(block.fouled, flow.fouled * whole, out, offset + fouledAs);
  }
  let mended = 0;
  for (let k = 0; k < 4; k++) {
    const at = otherAt(block, k);
    const here = mass[at]!;
    mended += flow.mends * here;
    out[offset + at]! += (1 - flow.mends) * here + flow.faulty[k]! * all;
  }
  addEntries(block.floor, mended, out, offset + kinds.fresh * shift);
}
