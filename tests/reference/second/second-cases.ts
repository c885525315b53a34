import type { SecondCase } from "./case-builders.ts";
import { conducting, facilities } from "./circuit-cases.ts";
import { contacts, nuisances } from "./contact-cases.ts";
import { firstModel, pairs, together } from "./joint-cases.ts";
import { displays, readingTerms } from "./reading-cases.ts";

/** Every case, in the order in which the answers are stored. */
export const secondCases: readonly SecondCase[] = [
  ...readingTerms,
  ...displays,
  ...contacts,
  ...nuisances,
  ...conducting,
  ...facilities,
  ...firstModel,
  ...pairs,
  ...together,
];
