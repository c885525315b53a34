import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { acceptance, acceptanceOfNormal, verdictOf } from "../../src/circuit/acceptance.ts";
import { falseAcceptance, guardBandFor } from "../../src/circuit/guard-band.ts";
import { volts } from "../../src/domain/units.ts";

const limit = volts(4.8);

describe("one circuit against the limit", () => {
  test("a normal estimate 1.645 standard deviations over the limit is just accepted", () => {
    // JCGM 106:2012, 8.3.2 with the 95 % point of the normal (R 4.2.2 qnorm: 1.644853627).
    const at = (sds: number) => acceptanceOfNormal(volts(4.8 + sds * 0.02), volts(0.02), limit);
    expect(at(1.6449)).toMatchObject({ verdict: "accept" });
    expect(at(1.6448)).toMatchObject({ verdict: "undecided" });
    expect(at(-1.6448)).toMatchObject({ verdict: "undecided" });
    expect(at(-1.6449)).toMatchObject({ verdict: "reject" });
    expect(at(0).risk).toBeCloseTo(0.5, 12);
    expect(at(0).guardBand).toBeCloseTo(1.644853627 * 0.02, 10);
    expect(at(0).acceptanceLimit).toBeCloseTo(4.8 + 1.644853627 * 0.02, 10);
  });

  test("without uncertainty the limit itself is good", () => {
    expect(acceptanceOfNormal(limit, volts(0), limit)).toMatchObject({
      risk: 0,
      verdict: "accept",
    });
    expect(acceptanceOfNormal(volts(4.79), volts(0), limit).verdict).toBe("reject");
  });

  test("weighted values: an open contact in ten spoils an otherwise good circuit", () => {
    const known = [
      { volts: 4.9, weight: 9 },
      { volts: 0, weight: 1 },
    ];
    const found = acceptance(known, limit);
    expect(found.risk).toBeCloseTo(0.1, 12);
    expect(found.estimate).toBeCloseTo(4.41, 12);
    expect(found.guardBand).toBeCloseTo(4.41, 12);
    expect(found.verdict).toBe("undecided");
    expect(acceptance(known, limit, 0.1).verdict).toBe("accept");
  });

  test("exactly the tolerated weight may lie under the bound", () => {
    // One of twenty under 4.9 V: bound 4.9, mean 4.89, guard band -0.01 V (by hand).
    const known = [
      { volts: 4.7, weight: 1 },
      { volts: 4.9, weight: 19 },
    ];
    expect(acceptance(known, limit).guardBand).toBeCloseTo(-0.01, 12);
    expect(acceptance(known, limit).verdict).toBe("accept");
  });

  test("the guard band and the risk are one rule, and the order of values is none", () => {
    const value = fc.record({
      volts: fc.double({ min: 0, max: 6, noNaN: true }),
      weight: fc.integer({ min: 1, max: 9 }),
    });
    fc.assert(
      fc.property(fc.array(value, { minLength: 1, maxLength: 20 }), (known) => {
        const found = acceptance(known, limit);
        const clear = found.estimate - found.acceptanceLimit;
        // Equality is possible and rounds: only a clear distance must agree with the verdict.
        if (clear > 1e-9) expect(found.verdict).toBe("accept");
        if (clear < -1e-9) expect(found.verdict).not.toBe("accept");
        expect(acceptance([...known].reverse(), limit).risk).toBeCloseTo(found.risk, 12);
      }),
    );
  });

  test("many weighted values of a normal come to the normal's own answer", () => {
    const grid = Array.from({ length: 4001 }, (_, i) => (i - 2000) / 400);
    const known = grid.map((z) => ({ volts: 4.83 + 0.02 * z, weight: Math.exp((-z * z) / 2) }));
    const [exact, summed] = [
      acceptanceOfNormal(volts(4.83), volts(0.02), limit),
      acceptance(known, limit),
    ];
    expect(summed.risk).toBeCloseTo(exact.risk, 3);
    expect(summed.guardBand).toBeCloseTo(exact.guardBand, 4);
  });

  test("exactly at the tolerated risk accepts, exactly at the other end rejects", () => {
    expect(verdictOf(0.25, 0.25)).toBe("accept");
    expect(verdictOf(0.75, 0.25)).toBe("reject");
    expect(verdictOf(0.5, 0.25)).toBe("undecided");
  });

  test("a value at the limit is good, and a value without weight bounds nothing", () => {
    const known = [
      { volts: 4.8, weight: 1 },
      { volts: 4.8, weight: 0 },
    ];
    expect(acceptance(known, limit).risk).toBe(0);
    // All weight at 4.9 V: the bound is 4.9 V, whatever stands above without weight (by hand).
    const above = [
      { volts: 4.9, weight: 1 },
      { volts: 6, weight: 0 },
    ];
    expect(acceptance(above, limit, 0.999999).guardBand).toBeCloseTo(0, 12);
  });

  test("nothing known is a mistake of the program", () => {
    expect(() => acceptance([], limit)).toThrow("positive weight");
  });
});

describe("a rule for all circuits: the ball bearings of JCGM 106:2012, 9.5.4", () => {
  // Run-out gamma(shape 4, rate 4) mm, upper limit 2, u = 0.25, as worked in Suncal (check values
  // G5-06, verified). Mirrored here to a lower limit of -2. Midpoints of 1e-3 up to 12.
  const bearings = Array.from({ length: 12_000 }, (_, i) => {
    const x = (i + 0.5) * 1e-3;
    return { volts: -x, weight: x ** 3 * Math.exp(-4 * x) };
  });
  const [u, upper] = [volts(0.25), volts(-2)];

  test("0.802 % of all are bad and accepted where the limit itself is the rule", () => {
    const risk = falseAcceptance(bearings, u, upper, volts(0));
    expect(Math.abs(risk - 0.00801911)).toBeLessThan(5e-6);
  });

  test("4.238 % are bad: what a rule that accepts everything lets through", () => {
    const risk = falseAcceptance(bearings, u, upper, volts(-100));
    expect(Math.abs(risk - 0.04238011)).toBeLessThan(1e-7);
  });

  test("a guard band of 0.328 brings it down to one in a thousand", () => {
    const band = guardBandFor(bearings, u, upper, 0.001);
    expect(Math.abs(band - 0.328171)).toBeLessThan(2e-4);
    expect(Math.abs(-(upper + band) - 1.671829)).toBeLessThan(2e-4);
  });

  test("where nothing is bad no guard band is needed", () => {
    const sound = [{ volts: 5, weight: 1 }];
    expect(guardBandFor(sound, u, volts(4.8), 0.001)).toBe(-40 * u);
    expect(guardBandFor([{ volts: 4.8, weight: 1 }], u, volts(4.8), 0)).toBe(-40 * u);
  });

  test("one bad circuit in two: the band at which the normal's own tail is what is tolerated", () => {
    // 0.5 F(-(d + g)/u) = 0.01 at g = 2.053748911 u - d (R 4.2.2: qnorm(0.98) = 2.053748911).
    const known = [
      { volts: 5, weight: 1 },
      { volts: 4.7, weight: 1 },
    ];
    const band = guardBandFor(known, u, volts(4.8), 0.01);
    expect(band).toBeCloseTo(2.053748911 * 0.25 - 0.1, 8);
    // Nothing but a band past every reading refuses all bad circuits.
    expect(guardBandFor(known, u, volts(4.8), 0)).toBeGreaterThan(9 * u);
  });
});
