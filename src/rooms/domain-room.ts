/**
 * `dropwise/domain`: what things are called, the calendar, units, defaults.
 *
 * Source: the project's own words, DEVELOPERS.md's dictionary; defaults are judgements, each named in
 * datasets/assumptions.md with where it is from.
 */
export { dayNumber, dayText } from "../domain/calendar.ts";
export { copperResistance } from "../domain/copper-wire.ts";
export type * from "../domain/costs.ts";
export { costsOf, defaultCosts } from "../domain/costs.ts";
export type { Facility } from "../domain/facility.ts";
export type * from "../domain/findings.ts";
export type { KnownReading } from "../domain/made-reading.ts";
export type { Walk } from "../domain/made-walk.ts";
export type * from "../domain/margins.ts";
export type * from "../domain/meet.ts";
export { meetDefaults, meetSettings } from "../domain/meet.ts";
export { Misuse, type MisuseCode } from "../domain/misuse.ts";
export type * from "../domain/pad.ts";
export type * from "../domain/pool.ts";
export type * from "../domain/reading.ts";
export type * from "../domain/result.ts";
export type * from "../domain/touch.ts";
export { type Ohms, ohms, type Volts, volts } from "../domain/units.ts";
export type * from "../domain/work.ts";
