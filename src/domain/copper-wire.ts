import { type Ohms, ohms } from "./units.ts";

/** Resistivity of annealed copper at 20 °C, 100 % IACS: 1/58 Ω mm²/m [Ω m]. */
const resistivity = 1 / 58e6;

/** Temperature coefficient of annealed copper at 20 °C, constant mass [1/K]. */
const perKelvin = 0.00393;

/** A run of copper cable between two points of the path. */
export interface CopperWire {
  /** American Wire Gauge number, 0 to 40; 22 is 0.644 mm. */
  readonly awg: number;
  /** One-way length of the cable [m]. */
  readonly metres: number;
  /** Conductors in series: 2 for out and back. */
  readonly conductors: number;
  /** Temperature of the copper [°C]. */
  readonly celsius: number;
}

/**
 * Diameter of a solid conductor [m].
 *
 * `d = 0.127 mm * 92^((36 - awg) / 39)`: 36 gauge is 0.005 in, 0000 gauge 0.46 in, and 39 equal
 * ratios lie between (ASTM B258).
 */
export const conductorDiameter = (awg: number): number => 0.127e-3 * 92 ** ((36 - awg) / 39);

/** Cross-section of a solid conductor [m²]. */
export const conductorArea = (awg: number): number => (Math.PI / 4) * conductorDiameter(awg) ** 2;

/**
 * Series resistance of a copper run, all its conductors together [Ω].
 *
 * Solid annealed copper, `ρ L n / A * (1 + 0.00393 (T - 20))`. Stranded wire of the same gauge has
 * some 2 % more. The linear form holds within 0.01 % from 0 to 75 °C. Its coefficient belongs to
 * annealed IACS copper; 0.004041 belongs to the pure element at another resistivity, and mixing the
 * two is wrong by 2.7 %. Source: IEC 60028 (1/58 Ω mm²/m, 0.00393 per kelvin), ASTM B258 (gauge).
 */
export function copperResistance(wire: CopperWire): Ohms {
  const at20 = (resistivity * wire.metres * wire.conductors) / conductorArea(wire.awg);
  return ohms(at20 * (1 + perKelvin * (wire.celsius - 20)));
}
