import { unplugs } from "../domain/explanation-kinds.ts";
import type { Explanation } from "../domain/findings.ts";
import type { WorkStep } from "../domain/work.ts";
import {
  type CautionId,
  type CautionMoment,
  type CautionWords,
  cautionIds,
} from "../words/caution-words.ts";
import { english } from "../words/english.ts";

/**
 * What can hurt someone in the work that is proposed, by the step where it stands. Every output that
 * proposes work prints these words beside the step; their words stand in `words/`.
 */

/** One caution. */
export interface Caution {
  readonly id: CautionId;
  /** The steps that it stands beside. */
  readonly steps: readonly WorkStep[];
  /** Plain words, one or two sentences. */
  readonly words: string;
  /** The same in a few words, for where the whole has been said or can be asked for. */
  readonly brief: string;
}

/** The steps that each stands beside. */
const stepsBeside: Readonly<Record<CautionId, readonly WorkStep[]>> = {
  "solvent-oxidiser": ["clean"],
  "solvent-flammable": ["clean"],
  "solvent-dry": ["clean"],
  "supply-off": ["look", "replace", "seal"],
  "over-water": ["measure", "look", "clean", "replace", "over-water"],
  "not-in-a-session": ["look", "clean", "replace", "deck"],
  "low-voltage-only": ["measure", "look", "clean", "replace"],
  "two-people": ["lift-pads"],
  "solvent-skin": ["seal"],
  sealant: ["seal"],
  "wet-deck": ["deck"],
  "no-certificate": ["measure", "look", "clean", "replace", "lift-pads"],
};

/** All of them, the most urgent first. */
const allIn = ({ each }: CautionWords): readonly Caution[] =>
  cautionIds.map((id) => ({ id, steps: stepsBeside[id], ...each[id] }));

/** All of them in English. */
export const cautions: readonly Caution[] = allIn(english.cautions);

/** One caution by its name, for a step that needs it alone. */
export const cautionOf = (id: CautionId): Caution => cautions.find((caution) => caution.id === id)!;

/** The cautions that stand beside these steps, each once, the most urgent first. */
export const cautionsSaid = (
  words: CautionWords,
  ...steps: readonly WorkStep[]
): readonly Caution[] =>
  allIn(words).filter((caution) => caution.steps.some((step) => steps.includes(step)));

/** The same in English. */
export const cautionsFor = (...steps: readonly WorkStep[]): readonly Caution[] =>
  cautionsSaid(english.cautions, ...steps);

/** These in one sentence: `Before you clean: supply off; two people to a pad.` */
export const briefly = (
  { moments }: CautionWords,
  moment: CautionMoment,
  said: readonly Caution[],
): string => {
  const clauses = said.flatMap(({ brief }) => brief.split("; "));
  // `supply off` is said by `supply off, and dry before power comes back`.
  const isSaid = (clause: string, at: number): boolean =>
    clauses.some((other, i) => (i < at && other === clause) || other.startsWith(`${clause},`));
  return `${moments[moment]}: ${clauses.filter((one, i) => !isSaid(one, i)).join("; ")}.`;
};

/** Those that stand beside these steps, in one sentence. */
export const briefCautions = (
  words: CautionWords,
  moment: CautionMoment,
  ...steps: readonly WorkStep[]
): string => briefly(words, moment, cautionsSaid(words, ...steps));

/** `Take care: ...`, in English. */
export const takeCare = (...steps: readonly WorkStep[]): string =>
  briefCautions(english.cautions, "any", ...steps);

/** The cautions that stand beside explanations whose test takes a device off the line. */
export const explanationCautions = (
  explanations: readonly Explanation[],
  { cautions: words }: { readonly cautions: CautionWords },
): readonly Caution[] =>
  explanations.some(({ kind }) => unplugs(kind)) ? cautionsSaid(words, "measure") : [];
