import { dayText } from "../domain/calendar.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Season } from "./open-season.ts";

/** A season's walks as the deck day looks at them, the earliest first. */
export const looksOf = (
  season: Season | null,
): {
  readonly diagnosis: WalkDiagnosis;
  readonly day: string | null;
  readonly seconds: number | null;
}[] =>
  (season?.walks ?? []).map(({ diagnosis, day, seconds }) => ({
    diagnosis,
    day: day === null ? null : dayText(day),
    seconds,
  }));
