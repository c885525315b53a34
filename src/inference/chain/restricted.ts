import { RowStore } from "../../numerics/row-store.ts";
import { type ChainKernels, type Messages, pulledRows, widthAt } from "./messages.ts";
import type { PointLikelihoods } from "./point-likelihoods.ts";
import { type ChainShape, type ShapedLink, statesOf, suffixAfter } from "./shape.ts";

/**
 * The likelihood of a circuit's readings and that the connector of link k is not to blame: its
 * contact is sound, or the cable in front of it is broken. By configuration, on the messages' own
 * scale. Link k's bracket keeps those states alone; only what lies in front of it is new:
 *
 *     bracket_k = P(sound) K_s g_k + P(cable) o_k,   and as in `messages.ts` for the links before
 */
export function blamelessLikelihood(
  shape: ChainShape,
  kernels: ChainKernels,
  points: PointLikelihoods,
  messages: Messages,
  size: number,
  k: number,
  last: number,
): Float64Array {
  if (k > last) {
    // Behind a leak: as the prior has it.
    const { bitsBefore } = shape.links[k]!;
    return messages.likelihood.map((value, c) => {
      const { sound, cable, intermittent } = statesOf(shape.links[k]!, c >> bitsBefore);
      return value * (sound + cable + intermittent);
    });
  }
  let ahead = blamelessBracket(shape.links[k]!, messages, k, size, points.shaky !== null);
  for (let i = k - 1; i >= 0; i--) {
    layPoint(ahead, points, messages, i, size);
    ahead = bracketBefore(shape.links[i]!, kernels, messages, i, size, ahead);
  }
  return ahead.g;
}

/** The bracket of a contact by suffix in front of it. */
interface Bracket {
  /** Rows by node, without and with an intermittent contact in front. */
  readonly g: Float64Array;
  readonly h: Float64Array | null;
  /** P(not to blame | the path is open in front), likewise. */
  readonly dead: Float64Array;
  readonly deadShaky: Float64Array;
}

const suffixesBefore = (link: ShapedLink): number => link.suffixes * (link.shared ? 2 : 1);

function blamelessBracket(
  link: ShapedLink,
  messages: Messages,
  k: number,
  size: number,
  shaky: boolean,
): Bracket {
  const count = suffixesBefore(link);
  const width = widthAt(k, size);
  const g = new Float64Array(count * width);
  const h = shaky ? new Float64Array(count * width) : null;
  const dead = new Float64Array(count);
  const deadShaky = new Float64Array(count);
  for (let q = 0; q < count; q++) {
    const { sound, cable, intermittent } = statesOf(link, q);
    const from = suffixAfter(link, q) * width;
    const steady = shaky ? sound : sound + intermittent;
    dead[q] = steady + cable;
    deadShaky[q] = sound + intermittent + cable;
    const broken = cable * messages.open[k]!;
    for (let m = 0; m < width; m++) {
      g[q * width + m] = steady * messages.soundG[k]![from + m]! + broken;
      if (h === null) continue;
      h[q * width + m] = (sound + intermittent) * messages.soundH[k]![from + m]! + broken;
    }
  }
  return { g, h, dead, deadShaky };
}

/** Multiplies the readings of point i into the bracket behind it, on the messages' scale. */
function layPoint(
  { g, h }: Bracket,
  points: PointLikelihoods,
  messages: Messages,
  i: number,
  size: number,
): void {
  const scale = Math.exp(messages.logScales[i + 1]! - messages.logScales[i]!);
  for (let at = 0; at < g.length; at++) {
    g[at]! *= points.plain[i * size + (at % size)]! * scale;
    if (h !== null) h[at]! *= points.shaky![i * size + (at % size)]! * scale;
  }
}

function bracketBefore(
  link: ShapedLink,
  kernels: ChainKernels,
  messages: Messages,
  i: number,
  size: number,
  ahead: Bracket,
): Bracket {
  const count = suffixesBefore(link);
  const width = widthAt(i, size);
  const [sounds, fouls] = [kernels.sound[i]!, kernels.fouled[i]!];
  const store = new RowStore((2 * link.suffixes + count) * width * (ahead.h === null ? 1 : 2));
  const soundG = pulledRows(sounds, ahead.g, i, size, store);
  const fouledG = pulledRows(fouls, ahead.g, i, size, store);
  const soundH = ahead.h === null ? null : pulledRows(sounds, ahead.h, i, size, store);
  const fouledH = ahead.h === null ? null : pulledRows(fouls, ahead.h, i, size, store);
  const g = store.row(count * width);
  const h = ahead.h === null ? null : store.row(count * width);
  const dead = new Float64Array(count);
  const deadShaky = new Float64Array(count);
  for (let q = 0; q < count; q++) {
    const { sound, fouled, open, cable, intermittent } = statesOf(link, q);
    const after = suffixAfter(link, q);
    const comes = h === null ? 0 : intermittent;
    dead[q] = (1 - comes) * ahead.dead[after]! + comes * ahead.deadShaky[after]!;
    deadShaky[q] = ahead.deadShaky[after]!;
    const opened = (open + cable) * messages.open[i]!;
    for (let m = 0; m < width; m++) {
      const [at, from] = [q * width + m, after * width + m];
      g[at] =
        (sound + intermittent - comes) * soundG[from]! +
        fouled * fouledG[from]! +
        opened * ahead.dead[after]!;
      if (h === null) continue;
      g[at]! += intermittent * soundH![from]!;
      h[at] =
        (sound + intermittent) * soundH![from]! +
        fouled * fouledH![from]! +
        opened * ahead.deadShaky[after]!;
    }
  }
  return { g, h, dead, deadShaky };
}
