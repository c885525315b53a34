import type { ChainPrior } from "./chain-prior.ts";
import { type ContactKernel, pullBack } from "./contact-kernel.ts";

/** Where the chain's contacts are summed over: an axis of `size` nodes and the kernels on it. */
export interface ChainAxis {
  readonly size: number;
  readonly sound: ContactKernel;
  readonly fouled: ContactKernel;
}

/**
 * Sums one circuit's contacts from the far end, by body configuration. `points` holds the
 * likelihood of each link's readings at every node, link by link, and `end` what the contact
 * resistance of the whole chain is worth. `openFrom[i]`, where given, is the likelihood of all
 * readings from link `i` on behind an open contact; without it no contact is open.
 */
export function chainSum(
  prior: ChainPrior,
  { size, sound, fouled }: ChainAxis,
  points: Float64Array,
  end: Float64Array,
  openFrom: Float64Array | null,
): Float64Array {
  let here = end.slice();
  let count = 1;
  for (let i = prior.links.length - 1; i >= 0; i--) {
    const link = prior.links[i]!;
    for (let at = 0; at < here.length; at += size) {
      for (let m = 0; m < size; m++) here[at + m]! *= points[i * size + m]!;
    }
    const width = i === 0 ? 1 : size;
    const bodies = link.shared ? 2 : 1;
    const next = new Float64Array(count * bodies * width);
    for (let q = 0; q < count; q++) {
      const ifSound = acrossContact(sound, here, q * size, width);
      const ifFouled = acrossContact(fouled, here, q * size, width);
      for (let b = 0; b < bodies; b++) {
        const body = b as 0 | 1;
        const open = openFrom === null ? 0 : link.open[body] * openFrom[i]!;
        const to = (q * bodies + b) * width;
        for (let m = 0; m < width; m++) {
          next[to + m] = link.sound[body] * ifSound[m]! + link.fouled[body] * ifFouled[m]! + open;
        }
      }
    }
    here = next;
    count *= bodies;
  }
  return here;
}

/** K g at every node, or at t = 0 alone. */
function acrossContact(
  kernel: ContactKernel,
  g: Float64Array,
  at: number,
  width: number,
): Float64Array {
  if (width === 1) {
    let sum = 0;
    for (let m = 0; m < kernel.origin.length; m++) sum += kernel.origin[m]! * g[at + m]!;
    return Float64Array.of(sum);
  }
  const to = new Float64Array(width);
  pullBack(kernel, g, at, to, 0);
  return to;
}
