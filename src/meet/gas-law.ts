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

/**
 * Strokes that change the pressure by as much as a change of temperature does, the other way: from
 * (V/(V + v))^n = T1/T2. Positive where warmer water asks for more strokes.
 */
export const strokesForTemperature = (
  vessel: number,
  stroke: number,
  from: number,
  to: number,
): number => Math.log(kelvins(to) / kelvins(from)) / Math.log1p(stroke / vessel);

export const celsiusOf = (degrees: number, unit: "C" | "F"): number =>
  unit === "C" ? degrees : ((degrees - 32) * 5) / 9;

export const fahrenheitOf = (celsius: number): number => (celsius * 9) / 5 + 32;
