/** Air sealed in a pad, as an ideal gas. Pressures are absolute [Pa], temperatures [°C]. */

const kelvins = (celsius: number): number => celsius + 273.15;

/** Pressure after a change of temperature at constant volume: P2/P1 = T2/T1, in kelvins. */
export const pascalsAtTemperature = (pascals: number, from: number, to: number): number =>
  (pascals * kelvins(to)) / kelvins(from);

/**
 * Pressure in a rigid vessel of `vessel` litres after `strokes` of a hand pump that takes
 * `stroke` litres each: P0 (V/(V + v))^n. A soft pad collapses instead, so this bounds the vacuum
 * from one side only; it shows why each stroke does less than the one before.
 */
export const pascalsAfterStrokes = (
  pascals: number,
  vessel: number,
  stroke: number,
  strokes: number,
): number => pascals * (vessel / (vessel + stroke)) ** strokes;

/** Lowest pressure that a pump with `clearance` litres left at the end of a stroke can reach. */
export const lowestPascals = (pascals: number, clearance: number, stroke: number): number =>
  (pascals * clearance) / (clearance + stroke);

export const celsiusOf = (degrees: number, unit: "C" | "F"): number =>
  unit === "C" ? degrees : ((degrees - 32) * 5) / 9;

export const fahrenheitOf = (celsius: number): number => (celsius * 9) / 5 + 32;
