import fc from "fast-check";
import { expect, test } from "vitest";
import { ohms } from "../../src/domain/units.ts";
import { fouledSpread } from "../../src/history/fouled-spread.ts";

const prior = { medianOhms: ohms(60), logSd: 1.2 };

/** Normal quantiles 1.644854 at 95 %, 0.841621 at 80 %: the usual tables. */
test("a contact that is fouled for certain gives its own median and spread", () => {
  const [mean, sd] = [Math.log(75), 0.3];
  const at = (z: number): number => Math.exp(mean + sd * z);
  const found = fouledSpread(
    {
      sound: 0,
      fouled: 1,
      intermittent: 0,
      ohms: { low: at(-1.644854), median: at(0), high: at(1.644854) },
    },
    prior,
  );
  expect(found.mean).toBeCloseTo(mean, 6);
  expect(found.sd).toBeCloseTo(sd, 6);
});

test("where three in four are sound, the 95 % quantile is the fouled part's at 80 %", () => {
  const [mean, sd] = [Math.log(40), prior.logSd];
  const high = Math.exp(mean + sd * 0.841621);
  const found = fouledSpread(
    { sound: 0.75, fouled: 0.25, intermittent: 0, ohms: { low: 0.05, median: 0.2, high } },
    prior,
  );
  expect(found.mean).toBeCloseTo(mean, 5);
  expect(found.sd).toBe(sd);
});

test("what shows nothing of the fouled part leaves the prior", () => {
  const found = fouledSpread(
    { sound: 0.99, fouled: 0.01, intermittent: 0, ohms: { low: 0.05, median: 0.2, high: 0.8 } },
    prior,
  );
  expect(found).toEqual({ mean: Math.log(60), sd: 1.2 });
});

test("an open contact's infinite quantiles are left out", () => {
  fc.assert(
    fc.property(fc.double({ min: 0.5, max: 0.94, noNaN: true }), (open) => {
      const shown = { low: 30, median: Number.POSITIVE_INFINITY, high: Number.POSITIVE_INFINITY };
      const found = fouledSpread(
        { sound: 0, fouled: 1 - open, intermittent: 0, ohms: shown },
        prior,
      );
      expect(Number.isFinite(found.mean) && found.sd > 0).toBe(true);
    }),
  );
});
