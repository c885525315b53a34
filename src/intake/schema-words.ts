import { z } from "zod";
import type { Assumed } from "../domain/assumed-figure.ts";
import { didYouMean } from "./nearest.ts";

/**
 * The few kinds of value that files are made of.
 *
 * Each schema's error message is the phrase that says what is allowed; `schema-faults.ts` puts
 * what was found before it. So one phrase serves every way in which a value can be wrong.
 */

/** A finite number in a range; `allowed` says the range in words: "ohms, 0 or more". */
export const numberIn = (low: number, high: number, allowed: string): z.ZodNumber =>
  z.number({ error: allowed }).min(low, { error: allowed }).max(high, { error: allowed });

/** A finite number above zero, up to `high`. */
export const above0 = (high: number, allowed: string): z.ZodNumber =>
  z.number({ error: allowed }).gt(0, { error: allowed }).max(high, { error: allowed });

/** A whole number in a range. */
export const wholeIn = (low: number, high: number, allowed: string): z.ZodInt =>
  z.int({ error: allowed }).min(low, { error: allowed }).max(high, { error: allowed });

/**
 * One line with something to see at both ends. Of characters without a shape the two joiners may stand
 * inside, away from ASCII: Persian words and many emoji are written with them.
 */
const oneLine =
  /^(?!.*[ -~][\u200c\u200d])(?!.*[\u200c\u200d][ -~])[^\s\p{C}]((?:[^\p{C}]|[\u200c\u200d])*[^\s\p{C}])?$/u;

/** A name that a person gives something: one line of 1 to 60 characters with something to see. */
export const name = (allowed: string): z.ZodString =>
  z
    .string({ error: allowed })
    .max(60, { error: `${allowed}, at most 60 characters` })
    .regex(oneLine, {
      error: `${allowed}, one line with no blanks around it`,
    });

/** An object that takes the keys listed and no other; a stray key is told the nearest one. */
export function closed<Shape extends z.core.$ZodLooseShape>(
  shape: Shape,
): z.ZodObject<Shape, z.core.$strict> {
  const known = Object.keys(shape);
  return z.strictObject(shape, {
    error: (issue) => {
      if (issue.code !== "unrecognized_keys") return `a mapping with the keys ${known.join(", ")}`;
      const keys = (issue as { keys?: readonly string[] }).keys ?? [];
      const strays = keys.map((key) => `'${key}'${didYouMean(key, known)}`);
      return `unknown key ${strays.join(" and ")} (known here: ${known.join(", ")})`;
    },
  });
}

/** A list of `least` to `most` entries. */
export const listOf = <Entry extends z.ZodType>(
  entry: Entry,
  least: number,
  most: number,
  allowed: string,
): z.ZodArray<Entry> =>
  z.array(entry, { error: allowed }).min(least, { error: allowed }).max(most, { error: allowed });

/** How a figure of the record of assumptions stands in a schema. */
interface FigureUse {
  /** False: nothing stands for it where the file is silent. */
  readonly default: boolean;
  /** What its description says behind the meaning. */
  readonly suffix?: string;
}

/** `ohms` for `ohm`: the unit as the phrase of what is allowed begins. */
const unitWords: Readonly<Record<string, string>> = {
  V: "volts",
  ohm: "ohms",
  s: "seconds",
  min: "minutes",
  m: "metres",
  "": "a number",
};

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

const allowedOf = ({ unit, least, most }: Assumed, above: boolean): string => {
  const word = unit === "" && least >= 0 && most <= 1 ? "a probability" : (unitWords[unit] ?? unit);
  return above ? `${word} above ${least}, at most ${most}` : `${word} from ${least} to ${most}`;
};

const numberOf = (of: Assumed, above: boolean): z.ZodNumber => {
  const allowed = allowedOf(of, above);
  return above
    ? z.number({ error: allowed }).gt(of.least, { error: allowed }).max(of.most, { error: allowed })
    : numberIn(of.least, of.most, allowed);
};

const describedAs = ({ meaning, unit }: Assumed, suffix = ""): string =>
  `${capital(meaning)}${unit === "" ? "" : ` [${unit}]`}${suffix}.`;

/** A figure of the record of assumptions, with its value where the file is silent. */
export function figure(of: Assumed, above?: "above"): z.ZodDefault<z.ZodNumber>;
/** The same without a value of its own. */
export function figure(
  of: Assumed,
  use: FigureUse & { readonly default: false },
): z.ZodOptional<z.ZodNumber>;
export function figure(
  of: Assumed,
  use?: "above" | FigureUse,
): z.ZodDefault<z.ZodNumber> | z.ZodOptional<z.ZodNumber> {
  const number = numberOf(of, use === "above");
  if (typeof use === "object") return number.optional().describe(describedAs(of, use.suffix));
  return number.default(of.value).describe(describedAs(of));
}

/** A figure of the record that is a whole number. */
export const wholeFigure = (of: Assumed): z.ZodDefault<z.ZodInt> =>
  wholeIn(of.least, of.most, `whole ${of.unit} from ${of.least} to ${of.most}`)
    .default(of.value)
    .describe(describedAs(of));
