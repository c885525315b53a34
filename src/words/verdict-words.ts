import type { Doubt, Verdict, Weakness } from "../domain/findings.ts";

/** What circuits come to, by code. */
export interface VerdictWords {
  readonly verdicts: Readonly<Record<Verdict, string>>;
  /** Why something must be read again, for a technician. */
  readonly doubts: Readonly<Record<Doubt, string>>;
  /** What makes a circuit weak; under its limit, the volts say more. */
  readonly weaknesses: Readonly<Record<Weakness, string>>;
  /** `pod not read`. */
  readonly notRead: (point: string) => string;
  /** What follows a reading under the limit: `, limit 4.80 V`. */
  readonly limit: (limit: string) => string;
  /** `3 weak, 2 to read again, 19 sound`. */
  readonly counts: (count: Readonly<Record<Verdict, number>>) => string;
}
