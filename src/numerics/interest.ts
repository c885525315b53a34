/**
 * Discrete compound-interest factors, rate `i` [per period], `n` [periods].
 *
 * Convention: a payment of a period falls on its end; a payment now is period 0. Factors that end
 * in `MidPeriod` put it in the middle instead. `n` may be a fraction in `presentWorth`; the series
 * factors then follow the same closed form, which for whole `n` is the sum of the single payments.
 * Range: i > -1; at i = 0 each factor is its limit.
 *
 * Source: the standard engineering-economy tables (P/F, F/P, P/A, A/P, F/A, A/F); NIST Handbook 135
 * calls P/F the SPV factor, P/A the UPV factor, and the escalated series UPV*.
 */

/** F/P: what 1 now has grown to after n periods. */
export const compoundAmount = (i: number, n: number): number => (1 + i) ** n;

/** P/F, or SPV: what 1 after n periods is worth now. */
export const presentWorth = (i: number, n: number): number => (1 + i) ** -n;

/** P/F of a payment in the middle of period n. */
export const presentWorthMidPeriod = (i: number, n: number): number => (1 + i) ** (0.5 - n);

/** P/A, or UPV: what 1 at the end of each of n periods is worth now. */
export const seriesPresentWorth = (i: number, n: number): number =>
  i === 0 ? n : -Math.expm1(-n * Math.log1p(i)) / i;

/** A/P, capital recovery: what 1 now costs at the end of each of n periods. */
export const capitalRecovery = (i: number, n: number): number => 1 / seriesPresentWorth(i, n);

/** F/A: what 1 at the end of each of n periods has grown to. */
export const seriesCompoundAmount = (i: number, n: number): number =>
  i === 0 ? n : Math.expm1(n * Math.log1p(i)) / i;

/** A/F, sinking fund: what to put by at the end of each period to have 1 after n. */
export const sinkingFund = (i: number, n: number): number => 1 / seriesCompoundAmount(i, n);

/**
 * UPV*: present worth of n payments, the first `1 + e` at the end of period 1, growing by `e`.
 *
 * @param e Growth of the payment [per period].
 */
export function escalatedSeriesPresentWorth(i: number, n: number, e: number): number {
  if (i === e) return n;
  const ratio = (1 + e) / (1 + i);
  return (ratio * (1 - ratio ** n)) / (1 - ratio);
}

/**
 * The inflation that makes a nominal rate out of a real one [per year].
 *
 * @param nominal Rate that money earns [per year].
 * @param real The same beyond inflation [per year].
 */
export const impliedInflation = (nominal: number, real: number): number =>
  (1 + nominal) / (1 + real) - 1;
