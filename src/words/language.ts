import { english } from "./english.ts";
import { german } from "./german.ts";
import type { Words } from "./words.ts";

/**
 * The languages that answers are told in, by their codes of ISO 639-1. One more is a file beside
 * `german.ts` and a line here: the compiler then names every phrase that it lacks.
 */
const languages = { en: english, de: german } as const satisfies Readonly<Record<string, Words>>;

/** A language that answers are told in. */
export type Language = keyof typeof languages;

/** Their codes, the language of the source first. */
export const languageCodes = Object.keys(languages) as readonly Language[];

export const isLanguage = (code: string): code is Language => Object.hasOwn(languages, code);

/** Every phrase of one language. */
export const wordsIn = (language: Language): Words => languages[language];
