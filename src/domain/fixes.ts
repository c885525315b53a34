import type { WorkStep } from "./work.ts";

/**
 * What can be put right on the morning of a meet, each with the work by which its cautions go. A new
 * one is an entry here; the compiler then asks for its words in each language (`words/`).
 */
export const fixes = {
  look: ["look"],
  clean: ["clean"],
  replace: ["replace"],
  read: [],
  "check pad": ["lift-pads"],
  "dry device": [],
  press: [],
  "pad strokes": ["lift-pads"],
  "set pad": ["lift-pads"],
} as const satisfies Readonly<Record<string, readonly WorkStep[]>>;

/** One of them. */
export type FixKind = keyof typeof fixes;
