import { meetSettings } from "../domain/meet.ts";
import type { PadNote } from "../domain/pad.ts";
import { padsDue } from "../meet/pads-due.ts";
import { type MeetInput, type MeetReady, meetReady } from "../meet/ready.ts";
import { decideSeason, type SeasonDecisions } from "../policy/season-decisions.ts";
import { looksOf } from "../season/looks-of.ts";
import type { Season, SeasonProgress } from "../season/open-season.ts";

/** What a morning is judged from besides the season. */
export interface MorningGiven
  extends Pick<MeetInput, "pool" | "date" | "work" | "touches" | "minutesLeft"> {
  /** Null where the facility keeps no log of water. */
  readonly pads: readonly PadNote[] | null;
}

/** A meet's morning, and the decisions that it rests on; null where nobody walked. */
export interface Morning {
  readonly ready: MeetReady;
  readonly decided: SeasonDecisions | null;
}

/** The morning of a meet, as every door judges it: by the walks up to that day and what is decided on them. */
export function morningOf(
  season: Season | null,
  { pads, ...given }: MorningGiven,
  progress?: SeasonProgress,
): Morning {
  const decided = season === null ? null : decideSeason(season, progress);
  const ready = meetReady({
    ...given,
    looks: looksOf(season),
    pads: pads === null ? null : padsDue(pads, meetSettings(given.pool).pads, given.date),
    record: season?.trend?.cleanings ?? null,
    decided: decided?.decisions ?? [],
  });
  return { ready, decided };
}
