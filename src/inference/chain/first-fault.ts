import { CABLE, FOULED, INTERMITTENT, OPEN, SOUND, STATES } from "./adjoint.ts";
import { pushForward } from "./contact-kernel.ts";
import { type ChainKernels, type Messages, widthAt } from "./messages.ts";
import type { PointLikelihoods } from "./point-likelihoods.ts";
import { type ChainShape, statesOf, suffixAfter } from "./shape.ts";

/**
 * P(the first faulty contact from the timer out is link k's, in state x | all readings), by link and
 * state (`STATES`); in the place of *sound*, that every contact up to link k is. As `wayOut`, carrying
 * on only weights behind sound contacts:
 *
 *     a_0 = weights,   first_k(x) = sum a_k P(x) K_x g_k,   a_(k+1) = l_k transpose(K_s) P(sound) a_k
 *
 * Behind the last link of the messages contacts are as the prior has them while clean.
 */
export function firstFaults(
  shape: ChainShape,
  kernels: ChainKernels,
  points: PointLikelihoods,
  messages: Messages,
  size: number,
  weights: Float64Array,
  last: number,
): readonly Float64Array[] {
  const found = shape.links.map(() => new Float64Array(STATES.length));
  const shaky = points.shaky !== null;
  let ahead: Float64Array = weights;
  for (let n = 0; n <= last; n++) {
    const link = shape.links[n]!;
    const width = widthAt(n, size);
    const sound = new Float64Array(link.suffixes * width);
    const behindShaky = (shaky ? messages.soundH : messages.soundG)[n]!;
    const own = found[n]!;
    for (let before = 0; before * width < ahead.length; before++) {
      const chances = statesOf(link, before);
      const to = suffixAfter(link, before) * width;
      for (let m = 0; m < width; m++) {
        const weight = ahead[before * width + m]!;
        own[SOUND]! += weight * chances.sound * messages.soundG[n]![to + m]!;
        own[FOULED]! += weight * chances.fouled * messages.fouledG[n]![to + m]!;
        own[OPEN]! += weight * chances.open * messages.open[n]!;
        own[CABLE]! += weight * chances.cable * messages.open[n]!;
        own[INTERMITTENT]! += weight * chances.intermittent * behindShaky[to + m]!;
        sound[to + m]! += weight * chances.sound;
      }
    }
    if (n < last) ahead = atPoint(kernels, points, messages, n, link.suffixes, size, sound);
  }
  for (let n = last + 1; n < shape.links.length; n++) {
    const { sound, fouled, open, cable, intermittent } = shape.links[n]!.states[0];
    const chances = [sound, fouled, open, cable, intermittent];
    for (const [x, chance] of chances.entries()) found[n]![x] = found[n - 1]![SOUND]! * chance;
  }
  return found;
}

/** Carries weights over a sound contact, and lays the readings' likelihood on them. */
function atPoint(
  kernels: ChainKernels,
  points: PointLikelihoods,
  messages: Messages,
  n: number,
  suffixes: number,
  size: number,
  sound: Float64Array,
): Float64Array {
  const next = new Float64Array(suffixes * size);
  const kernel = kernels.sound[n]!;
  const down = Math.exp((messages.logScales[n + 1] ?? 0) - messages.logScales[n]!);
  for (let q = 0; q < suffixes; q++) {
    if (n > 0) pushForward(kernel, sound, q * size, next, q * size);
    else for (let m = 0; m < size; m++) next[q * size + m] = sound[q]! * kernel.origin[m]!;
    for (let m = 0; m < size; m++) next[q * size + m]! *= points.plain[n * size + m]! * down;
  }
  return next;
}
