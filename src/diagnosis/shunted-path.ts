/**
 * A resting circuit whose device conducts: current flows all the way round without any meter.
 *
 * With `x` the resistance from the supply's EMF to a point, source and wires included, and `loop`
 * the resistance of the whole circuit, a meter of load RL at that point stands beside what is left
 * of the loop and shows
 *
 *     V / E = Z / (x + Z),   Z = RL (loop - x) / (RL + loop - x)
 *
 * Given the loop, a reading depends on the contacts up to its point alone, as in a series path.
 */

/** V / E at `x` ohms from the supply, 0 < loop; 0 behind the loop's end. */
export function shownShare(loadOhms: number, x: number, loop: number): number {
  const beyond = loop - x;
  return beyond <= 0 ? 0 : (loadOhms * beyond) / (loadOhms * loop + x * beyond);
}

/** The `x` at which a meter shows this share of the EMF [Ω]: 0 at a share of 1 or more. */
export function placeOfShare(loadOhms: number, share: number, loop: number): number {
  if (share >= 1) return 0;
  if (share <= 0) return loop;
  const sum = share * loop + loadOhms;
  const product = loadOhms * loop * (1 - share);
  return (2 * product) / (sum + Math.sqrt(sum * sum - 4 * share * product));
}

/** How fast the shown share falls with `x` [1/Ω]; an infinite loop is a plain path. */
export function fallOfShare(loadOhms: number, x: number, loop: number): number {
  if (loop === Number.POSITIVE_INFINITY) return loadOhms / (loadOhms + x) ** 2;
  const beyond = loop - x;
  return (loadOhms * (loadOhms * loop + beyond * beyond)) / (loadOhms * loop + x * beyond) ** 2;
}
