import { expect, test } from "vitest";
import {
  capitalRecovery,
  compoundAmount,
  escalatedSeriesPresentWorth,
  impliedInflation,
  presentWorth,
  presentWorthMidPeriod,
  seriesCompoundAmount,
  seriesPresentWorth,
  sinkingFund,
} from "../../src/numerics/interest.ts";

/** Discrete cash flow table 1 (0.25 %) of an engineering-economy text, rows 5, 12, 24. Verified. */
test("factors agree with a published table at 0.25 % a period", () => {
  const rows = [
    { n: 5, pf: 0.9876, pa: 4.9627, ap: 0.2015, fa: 5.02506 },
    { n: 12, pf: 0.9705, pa: 11.8073, ap: 0.08469, fa: 12.16638 },
    { n: 24, pf: 0.9418, pa: 23.266, ap: 0.04298, fa: 24.70282 },
  ];
  for (const { n, pf, pa, ap, fa } of rows) {
    expect(Math.abs(presentWorth(0.0025, n) - pf)).toBeLessThan(6e-5);
    expect(Math.abs(seriesPresentWorth(0.0025, n) - pa)).toBeLessThan(6e-5);
    expect(Math.abs(capitalRecovery(0.0025, n) - ap)).toBeLessThan(6e-6);
    expect(Math.abs(seriesCompoundAmount(0.0025, n) - fa)).toBeLessThan(6e-6);
  }
});

/** Values as the usual tables print them at 3, 5, 8 and 10 %. Computed from the formulas. */
test("factors agree with the usual tables at 3 to 10 %", () => {
  const rows = [
    { i: 0.03, n: 15, pf: 0.64186, pa: 11.93794, ap: 0.083767, af: 0.053767 },
    { i: 0.05, n: 10, pf: 0.61391, pa: 7.72173, ap: 0.129505, af: 0.079505 },
    { i: 0.1, n: 5, pf: 0.62092, pa: 3.79079, ap: 0.263797, af: 0.163797 },
    { i: 0.1, n: 10, pf: 0.38554, pa: 6.14457, ap: 0.162745, af: 0.062745 },
    { i: 0.08, n: 20, pf: 0.21455, pa: 9.81815, ap: 0.101852, af: 0.021852 },
  ];
  for (const { i, n, pf, pa, ap, af } of rows) {
    expect(Math.abs(presentWorth(i, n) - pf)).toBeLessThan(5.1e-6);
    expect(Math.abs(seriesPresentWorth(i, n) - pa)).toBeLessThan(5.1e-6);
    expect(Math.abs(capitalRecovery(i, n) - ap)).toBeLessThan(6e-7);
    expect(Math.abs(sinkingFund(i, n) - af)).toBeLessThan(6e-7);
  }
});

/** NIST Handbook 135 definitions of SPV, UPV and UPV*. Computed from them. */
test("the escalated series is the sum of its payments", () => {
  expect(presentWorth(0.03, 10)).toBeCloseTo(0.744094, 6);
  expect(seriesPresentWorth(0.03, 15)).toBeCloseTo(11.937935, 6);
  expect(escalatedSeriesPresentWorth(0.03, 15, 0.01)).toBeCloseTo(12.868319, 6);
  expect(escalatedSeriesPresentWorth(0.03, 15, 0.03)).toBe(15);
});

/** "2024 Discount Rates" memo of the United States energy management programme. Verified. */
test("real and nominal rates give the published inflation", () => {
  const pairs = [
    [0.03, 0.042, 1.2],
    [0.022, 0.044, 2.2],
    [0.023, 0.044, 2.1],
    [0.025, 0.047, 2.1],
  ] as const;
  for (const [real, nominal, percent] of pairs)
    expect(Math.abs(100 * impliedInflation(nominal, real) - percent)).toBeLessThan(0.06);
});

test("at no interest money keeps its face value", () => {
  expect(seriesPresentWorth(0, 7)).toBe(7);
  expect(capitalRecovery(0, 8)).toBe(1 / 8);
  expect(seriesCompoundAmount(0, 7)).toBe(7);
  expect(presentWorth(0, 3.5)).toBe(1);
  expect(compoundAmount(0.05, 2)).toBeCloseTo(1.1025, 12);
});

/**
 * Clean every half year for 15 against replace for 180 with a life of 8 years, at 5 %: the annual
 * equivalents that ignore and that keep the half-year timing. Computed.
 */
test("within-year timing moves a half-yearly payment by 1.2 %", () => {
  expect(180 * capitalRecovery(0.05, 8)).toBeCloseTo(27.85, 2);
  const atYearEnd = 15 + 15 * (presentWorthMidPeriod(0.05, 1) / presentWorth(0.05, 1));
  expect(atYearEnd).toBeCloseTo(30.37, 2);
});
