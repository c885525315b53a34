/**
 * Air pressure at a height, in the standard atmosphere of ISO 2533:1975 (the same as ICAO's and
 * the U.S. Standard Atmosphere 1976 here). True from -2 km to 11 km geopotential, the troposphere.
 *
 * Two heights must not be mixed: a map gives the geometric height, the formula wants the
 * geopotential one. At 2000 m they differ by 6 Pa.
 */
const seaLevelPascals = 101_325;
const seaLevelKelvins = 288.15;
const lapseKelvinsPerMetre = 0.0065;
const gravity = 9.80665; // [m/s²]
const gasConstant = 287.05287; // dry air [J/(kg K)]
const earthRadiusMetres = 6_356_766;

/** Geopotential height [m] of a geometric height [m]: gravity weakens with height. */
export const geopotentialMetres = (geometric: number): number =>
  (earthRadiusMetres * geometric) / (earthRadiusMetres + geometric);

/** Standard temperature [K] at a geopotential height [m]. */
export const standardKelvins = (geopotential: number): number =>
  seaLevelKelvins - lapseKelvinsPerMetre * within(geopotential);

/** Standard pressure [Pa] at a geopotential height [m]. */
export const standardPascals = (geopotential: number): number =>
  seaLevelPascals *
  (standardKelvins(geopotential) / seaLevelKelvins) **
    (gravity / (gasConstant * lapseKelvinsPerMetre));

function within(geopotential: number): number {
  if (!(geopotential >= -2000 && geopotential <= 11_000))
    throw new Error(`height must be from -2000 to 11000 m, got ${geopotential}`);
  return geopotential;
}
