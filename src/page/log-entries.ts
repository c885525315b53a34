import { circuitCells } from "../domain/place.ts";
import { circuitText } from "../report/names.ts";
import { sentence } from "../words/figure-words.ts";
import type { Contents } from "./contents.ts";
import type { DeckLog, LogLine } from "./deck-logs.ts";

/** One row of a log of the deck day, as it is shown and as it was written. */
export interface LogEntry {
  readonly words: string;
  /** `YYYY-MM-DD` or with a time; blank where the row has none. */
  readonly when: string;
  readonly line: LogLine;
}

/** What of a row may be corrected: its columns, each with its label. What else it says is what it is about. */
export const correctable: Readonly<Record<DeckLog, readonly (readonly [string, string])[]>> = {
  touches: [
    ["tried", "Presses made"],
    ["registered", "Of them registered"],
    ["place", "Where on it (left, middle, right, high, low)"],
    ["heat", "Heat or check"],
  ],
  pads: [
    ["water_c", "Water, °C"],
    ["water_f", "Water, °F"],
    ["strokes", "Strokes found right on one pad"],
    ["lane", "That pad’s lane"],
    ["soaked_minutes", "Minutes it lay in the water before"],
  ],
  parts: [
    ["kind", "What it is"],
    ["where", "Place, spare or gone"],
    ["note", "Note"],
  ],
};

const cell = (value: string | number | null): string => (value === null ? "" : String(value));
const aside = (value: string | number | null, words: (value: string | number) => string): string =>
  value === null ? "" : words(value);

function touchEntries({ touches }: Contents): readonly LogEntry[] {
  return touches.map(({ kind, tried, registered, place, heat, takenAt, by, ...circuit }) => {
    const hand = kind === "open-hand" ? ", open hand" : "";
    const about = `${sentence(circuitText(circuit))}${aside(place, (at) => `, ${at}`)}${hand}`;
    return {
      words: `${about}: ${registered} of ${tried} registered${aside(heat, (one) => `, ${one}`)}`,
      when: takenAt?.text ?? "",
      line: {
        ...circuitCells(circuit),
        ...{ kind, tried: cell(tried), registered: cell(registered), place: cell(place) },
        ...{ heat: cell(heat), taken_at: takenAt?.text ?? "", by: cell(by) },
      },
    };
  });
}

function padEntries({ pads }: Contents): readonly LogEntry[] {
  return pads.map(({ takenAt, water, unit, strokes, lane, soakedMinutes, by, note }) => {
    const pad =
      aside(strokes, (count) => `, ${count} strokes`) + aside(lane, (one) => `, lane ${one}`);
    return {
      words: `Water ${water} °${unit}${pad}`,
      when: takenAt.text,
      line: {
        ...{ taken_at: takenAt.text, [`water_${unit.toLowerCase()}`]: cell(water) },
        ...{ strokes: cell(strokes), lane: cell(lane), soaked_minutes: cell(soakedMinutes) },
        ...{ by: cell(by), note: cell(note) },
      },
    };
  });
}

function partEntries({ parts }: Contents): readonly LogEntry[] {
  return parts.map(({ tag, kind, where, since, note }) => ({
    words: `${tag}${kind === "" ? "" : `, ${kind}`}: ${where}`,
    when: since?.text ?? "",
    line: { part: tag, kind, where, since: since?.text ?? "", note: cell(note) },
  }));
}

const entriesOf = { touches: touchEntries, pads: padEntries, parts: partEntries } as const;

/** The rows of a log that count, the last one first. */
export const logEntries = (log: DeckLog, contents: Contents): readonly LogEntry[] =>
  entriesOf[log](contents).toReversed();
