/** One probability that was stated, and whether the thing was so. */
export interface Forecast {
  readonly probability: number;
  readonly came: boolean;
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

/** Mean squared distance of the probabilities from what came: 0 is perfect (Brier, 1950). */
export const brierScore = (forecasts: readonly Forecast[]): number =>
  mean(forecasts.map(({ probability, came }) => (probability - Number(came)) ** 2));

/** Forecasts of like probability, and what share of them came. */
export interface CalibrationBin {
  readonly count: number;
  readonly stated: number;
  readonly came: number;
}

/** Ten (or `bins`) equal widths of probability; empty ones are left out. */
export const calibrationBins = (forecasts: readonly Forecast[], bins = 10): CalibrationBin[] => {
  const members = Array.from({ length: bins }, (): Forecast[] => []);
  for (const forecast of forecasts) {
    members[Math.min(Math.floor(forecast.probability * bins), bins - 1)]!.push(forecast);
  }
  return members
    .filter((list) => list.length > 0)
    .map((list) => ({
      count: list.length,
      stated: mean(list.map(({ probability }) => probability)),
      came: mean(list.map(({ came }) => Number(came))),
    }));
};

const total = (bins: readonly CalibrationBin[]): number =>
  bins.reduce((sum, { count }) => sum + count, 0);

/** Expected calibration error: mean gap between stated and came, weighted by how often stated. */
export const calibrationError = (bins: readonly CalibrationBin[]): number =>
  bins.reduce((sum, { count, stated, came }) => sum + count * Math.abs(stated - came), 0) /
  total(bins);

/** Murphy's parts (1973): where all members of a bin agree, Brier = reliability - resolution + uncertainty. */
export const murphyParts = (
  bins: readonly CalibrationBin[],
): { reliability: number; resolution: number; uncertainty: number } => {
  const n = total(bins);
  const base = bins.reduce((sum, { count, came }) => sum + count * came, 0) / n;
  const weighted = (gap: (bin: CalibrationBin) => number): number =>
    bins.reduce((sum, bin) => sum + bin.count * gap(bin) ** 2, 0) / n;
  return {
    reliability: weighted(({ stated, came }) => stated - came),
    resolution: weighted(({ came }) => came - base),
    uncertainty: base * (1 - base),
  };
};
