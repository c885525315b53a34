/**
 * The normal distribution, written for the reference integration alone: the diagnosis under test
 * has its own, so that neither can hide the other's slip.
 */

/** Density of the standard normal at `z`. */
export const normalDensity = (z: number): number => Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);

/** 1 - F(z) for z >= 3 by the continued fraction z + 1/(z + 2/(z + 3/...)), Abramowitz 26.2.14. */
const upperTail = (z: number): number => {
  let fraction = z;
  for (let k = 60; k >= 1; k--) fraction = z + k / fraction;
  return normalDensity(z) / fraction;
};

/** Distribution function of the standard normal; series of Abramowitz 26.2.11 in the middle. */
export const normalBelow = (z: number): number => {
  if (z > 3) return 1 - upperTail(z);
  if (z < -3) return upperTail(-z);
  let term = z;
  let sum = z;
  for (let k = 1; Math.abs(term) > 1e-17 * Math.abs(sum); k++) {
    term *= (z * z) / (2 * k + 1);
    sum += term;
  }
  return 0.5 + normalDensity(z) * sum;
};

/** Quantile of the standard normal, Acklam's rational approximation (relative error 1.2e-9). */
export const normalQuantile = (p: number): number => {
  if (p < 0.02425) return lowerTailQuantile(p);
  if (p > 0.97575) return -lowerTailQuantile(1 - p);
  const q = p - 0.5;
  const r = q * q;
  const top =
    ((((-3.969683028665376e1 * r + 2.209460984245205e2) * r - 2.759285104469687e2) * r +
      1.38357751867269e2) *
      r -
      3.066479806614716e1) *
      r +
    2.506628277459239;
  const bottom =
    ((((-5.447609879822406e1 * r + 1.615858368580409e2) * r - 1.556989798598866e2) * r +
      6.680131188771972e1) *
      r -
      1.328068155288572e1) *
      r +
    1;
  return (q * top) / bottom;
};

const lowerTailQuantile = (p: number): number => {
  const q = Math.sqrt(-2 * Math.log(p));
  const top =
    ((((-7.784894002430293e-3 * q - 3.223964580411365e-1) * q - 2.400758277161838) * q -
      2.549732539343734) *
      q +
      4.374664141464968) *
      q +
    2.938163982698783;
  const bottom =
    (((7.784695709041462e-3 * q + 3.224671290700398e-1) * q + 2.445134137142996) * q +
      3.754408661907416) *
      q +
    1;
  return top / bottom;
};
