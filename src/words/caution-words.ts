/** What can hurt someone, by name. */
export const cautionIds = [
  "solvent-oxidiser",
  "solvent-flammable",
  "solvent-dry",
  "supply-off",
  "over-water",
  "not-in-a-session",
  "low-voltage-only",
  "two-people",
  "solvent-skin",
  "sealant",
  "wet-deck",
  "no-certificate",
] as const;

export type CautionId = (typeof cautionIds)[number];

/** One caution's words. */
export interface CautionTold {
  /** Plain words, one or two sentences. */
  readonly words: string;
  /** The same in a few words, for where the whole has been said or can be asked for. */
  readonly brief: string;
}

/** Before which a row of cautions stands. */
export type CautionMoment = "opening" | "cleaning" | "any";

/**
 * Cautions. The words of every language say the same: none leaves anything out, none adds a figure.
 *
 * Sources: NIOSH Pocket Guide, isopropyl alcohol (flash point 53 °F, class IB flammable liquid,
 * incompatible with strong oxidizers and chlorine); Fire Engineering, "Swimming pool disinfectants"
 * (calcium hypochlorite and chlorinated isocyanurates are kept from propyl alcohol). The rest is
 * common practice, and defers to local codes and licensed people where the work leaves low voltage.
 */
export interface CautionWords {
  readonly each: Readonly<Record<CautionId, CautionTold>>;
  /** `Before you open anything`, `Take care`. */
  readonly moments: Readonly<Record<CautionMoment, string>>;
  /** What introduces a single one. */
  readonly caution: string;
  /** Where all have been said further up. */
  readonly hereToo: string;
}
