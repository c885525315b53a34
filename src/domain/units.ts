/**
 * Volts and ohms that the compiler keeps apart.
 *
 * A brand is erased at run time: `Volts` is a number that went through `volts()`. Arithmetic on
 * branded numbers gives a plain number, which is right: only the formula knows what came out, so
 * it tags its result once, where it returns.
 */
declare const unit: unique symbol;

/** An electric potential difference [V]. */
export type Volts = number & { readonly [unit]: "V" };

/** A resistance [Ω]; infinite for an open contact. */
export type Ohms = number & { readonly [unit]: "Ω" };

/**
 * Tags a number of volts.
 *
 * @param value [V]
 */
export const volts = (value: number): Volts => value as Volts;

/**
 * Tags a number of ohms.
 *
 * @param value [Ω]
 */
export const ohms = (value: number): Ohms => value as Ohms;
