/** The facility's own words for its memos. Null: nobody said, and the memo shows a blank. */
export interface Facility {
  readonly name: string | null;
  /** Lines of the letterhead, top to bottom; empty: none. */
  readonly letterhead: readonly string[];
  readonly to: string | null;
  readonly from: string | null;
  /** `YYYY-MM-DD`, or whatever the facility writes there. */
  readonly date: string | null;
  readonly subject: string | null;
  readonly reference: string | null;
  /** ISO 4217 code; null: the pool file's. */
  readonly currency: string | null;
  /** Where the money would come from. */
  readonly fund: string | null;
  readonly decisionNeededBy: string | null;
  /** What happens when, in the facility's words, in order; empty: the memo's own steps. */
  readonly schedule: readonly { readonly what: string; readonly when: string | null }[];
  /** Risks that the facility wants named, besides those that the numbers show. */
  readonly risks: readonly string[];
  readonly paper: "A4" | "Letter";
}

/** A facility of which nothing is known: every word of its memo is a blank. */
export const unknownFacility: Facility = {
  ...{ name: null, letterhead: [], to: null, from: null, date: null, subject: null },
  ...{ reference: null, currency: null, fund: null, decisionNeededBy: null },
  ...{ schedule: [], risks: [], paper: "A4" },
};
