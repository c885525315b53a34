import { z } from "zod";
import { unknownFacility } from "../domain/facility.ts";
import { closed, listOf } from "./schema-words.ts";
import { hasControl } from "./sheet/control-characters.ts";

/**
 * The facility file as people write it. Every key may be left out: the memo then shows a blank, and
 * nothing is made up.
 */

/** Longest line of words that is taken [characters]. */
const longestLine = 400;

const words = (allowed: string) =>
  z
    .union([z.string(), z.number()], { error: allowed })
    .transform((value) => String(value).trim())
    .refine((value) => value.length > 0 && value.length <= longestLine, { error: allowed })
    .refine((value) => !hasControl(value), { error: `${allowed}, without control characters` });

const line = (what: string) => words(`${what}, 1 to ${longestLine} characters`).optional();

const step = closed({
  what: words(`what happens, 1 to ${longestLine} characters`),
  when: words("a date or a few words").optional(),
});

export const facilitySchema = closed({
  facility: line("the facility's name").describe("Name of the facility."),
  letterhead: listOf(words("a line of the letterhead"), 0, 8, "a list of at most 8 lines")
    .default([])
    .describe("Lines of the letterhead, top to bottom."),
  to: line("who it goes to").describe("Who decides."),
  from: line("who it comes from").describe("Who asks."),
  date: line("a date").describe("Date of the memo, as it is to be printed."),
  subject: line("the subject").describe("Subject line; left out, the memo's title stands there."),
  reference: line("a reference").describe("The facility's own file number."),
  currency: z
    .string({ error: "a currency code of three capital letters, such as EUR" })
    .regex(/^[A-Z]{3}$/, { error: "a currency code of three capital letters, such as EUR" })
    .optional()
    .describe("ISO 4217 code; left out, the pool file's."),
  fund: line("a fund or budget line").describe("Where the money would come from."),
  decision_needed_by: line("a date").describe("By when the decision is needed."),
  schedule: listOf(step, 0, 12, "a list of at most 12 steps, each with what and when")
    .default([])
    .describe("What happens when; left out, the memo's own steps with blank dates."),
  risks: listOf(words("a risk in words"), 0, 8, "a list of at most 8 risks")
    .default([])
    .describe("Risks to name besides those that the numbers show."),
  paper: z
    .enum(["A4", "Letter"], { error: "A4 or Letter" })
    .default(unknownFacility.paper)
    .describe("Paper of the Word document."),
});

/** A facility file that passed the schema. */
export type FacilityFile = z.infer<typeof facilitySchema>;
