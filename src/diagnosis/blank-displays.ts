import type { ModelTerms } from "../domain/model-terms.ts";
import type { Meter, Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import type { ZeroRun } from "../inference/problem.ts";
import type { WalkOrder } from "./walk-order.ts";

/**
 * The chance that a display had gone off, and its blank was written down as 0, before each zero of
 * a meter's readings in the walk's order.
 *
 * The display goes off at an age X ~ Uniform(lo, hi) since it was switched on; S(a) = P(X > a),
 * H(x) = integral of S from 0 to x. The reference is the meter's latest earlier reading that showed
 * more than 0 or is marked "just switched on": there it was on. With g0 and g the times from it to
 * the meter's previous reading and to this zero,
 *
 *     age a known at the reference   b = written (S(a + g0) - S(a + g)) / S(a + g0)
 *     age unknown                    b = written (H(g) - H(g0)) / (H(inf) - H(g0))
 *
 * since an age that is uniform over (0, hi), given that the display showed, has density S(a) / H(inf).
 * With no reference, no times or no `off_after` it is `blank`; a zero marked "just switched on" is on.
 */
export function zeroRuns(pool: Pool, { readings, timed }: WalkOrder): readonly ZeroRun[] {
  if (pool.model.plain) return [];
  return pool.meters.flatMap((meter) => {
    const own = readings.flatMap((reading, index) =>
      reading.meter === meter.name ? [{ reading, index }] : [],
    );
    return runsOf(own, blankChances(own, meter, pool.model, timed), pool.model.blankStays);
  });
}

interface Numbered {
  readonly reading: Reading;
  /** Its number in the walk. */
  readonly index: number;
}

/** Stretches of consecutive zeros; a zero marked "just switched on" begins a new one. */
function runsOf(own: readonly Numbered[], off: readonly number[], stays: number): ZeroRun[] {
  const runs: { readings: number[]; off: number[]; stays: number; followed: boolean }[] = [];
  let open = false;
  for (const [i, { reading, index }] of own.entries()) {
    if (reading.volts > 0) {
      open = false;
      continue;
    }
    if (!open || reading.meterOn) runs.push({ readings: [], off: [], stays, followed: false });
    open = true;
    const run = runs.at(-1)!;
    run.readings.push(index);
    run.off.push(off[i]!);
    run.followed = i + 1 < own.length;
  }
  return runs.filter((run) => run.off.some((chance) => chance > 0));
}

/** A reading at which the display was on. */
interface Reference {
  readonly seconds: number;
  /** Seconds since it was switched on; null: unknown. */
  readonly age: number | null;
}

function blankChances(
  own: readonly Numbered[],
  { offAfter }: Meter,
  { blank, blankWritten }: ModelTerms,
  timed: boolean,
): readonly number[] {
  if (!timed || offAfter === null) {
    return own.map(({ reading }) => (reading.volts > 0 || reading.meterOn ? 0 : blank));
  }
  const law = ageLaw(offAfter);
  let reference: Reference | null = null;
  let previous = 0;
  // A zero between the mark and the reference may have been a display switched on again unmarked.
  let switchedOn: number | null = null;
  return own.map(({ reading }) => {
    const now = reading.takenAt!.seconds!;
    const before = reference;
    const last = previous;
    previous = now;
    if (reading.meterOn) switchedOn = now;
    if (reading.volts > 0 || reading.meterOn) {
      const age: number | null = switchedOn === null ? null : now - switchedOn;
      reference = { seconds: now, age: age !== null && law.lasts(age) > 0 ? age : null };
      return 0;
    }
    switchedOn = null;
    if (before === null) return blank;
    return blankWritten * law.wentOff(before.age, last - before.seconds, now - before.seconds);
  });
}

/** The law of the age at which a display goes off. */
function ageLaw([low, high]: readonly [number, number]) {
  const lasts = (age: number): number =>
    age < low ? 1 : age >= high ? 0 : (high - age) / (high - low);
  const total = (low + high) / 2;
  const integral = (x: number): number => {
    if (x <= low) return x;
    if (x >= high) return total;
    return total - (high - x) ** 2 / (2 * (high - low));
  };
  const ratio = (part: number, whole: number): number => (whole > 0 ? part / whole : 1);
  return {
    lasts,
    /** P(off by `to` | on at `from`), seconds since a reference at which it was on. */
    wentOff: (age: number | null, from: number, to: number): number =>
      age === null
        ? ratio(integral(to) - integral(from), total - integral(from))
        : ratio(lasts(age + from) - lasts(age + to), lasts(age + from)),
  };
}
