import { isGroup, isOfLane } from "../domain/place.ts";
import { type Countable, isDeviceNamed, type PlaceWords } from "./place-words.ts";

const nouns: Readonly<Record<Countable, readonly [one: string, more: string]>> = {
  reading: ["Messwert", "Messwerte"],
  circuit: ["Stromkreis", "Stromkreise"],
  connector: ["Steckverbindung", "Steckverbindungen"],
  row: ["Zeile", "Zeilen"],
  entry: ["Eintrag", "Einträge"],
};

const end: PlaceWords["end"] = (name) => (name === null ? "" : ` (Seite ${name})`);

const lanes: PlaceWords["lanes"] = (all) => {
  const isRun = all.length > 2 && all.every((lane, i) => lane === Number(all[0]) + i);
  return isRun ? `${all[0]} bis ${all.at(-1)}` : all.join(", ");
};

const circuit: PlaceWords["circuit"] = (one) =>
  `${isOfLane(one) ? `Bahn ${one.lane} ` : ""}${one.device}${end(one.end)}`;

/**
 * How things are called in German. The pool file's names stand as they are, without article or ending:
 * nobody knows their gender.
 */
export const germanPlaces: PlaceWords = {
  end,
  circuit,
  who: (one) => (isOfLane(one) ? `Bahn ${one.lane}` : one.device),
  lane: (lane) => `Bahn ${lane}`,
  laneCell: (one) => (isOfLane(one) ? String(one.lane) : "keine"),
  deviceCell: (one) => `${one.device}${end(one.end)}`,
  lanes,
  connector: (place) => {
    const lane = isOfLane(place) ? `Bahn ${place.lane} ` : "";
    const device = isDeviceNamed(place) ? `${place.device} ` : "";
    const group = isGroup(place) ? ` (Bahnen ${lanes(place.lanes)})` : "";
    return `${lane}${device}${place.connector}${group}${end(place.end)}`;
  },
  circuitAt: (place) => `${circuit(place)} bei ${place.point}`,
  lastPoint: "letzter Punkt",
  counted: (count, what) => `${count} ${nouns[what][count === 1 ? 0 : 1]}`,
};
