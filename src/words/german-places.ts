import { isGroup, isOfLane } from "../domain/place.ts";
import { type Countable, deviceBefore, inLine, type PlaceWords, placesIn } from "./place-words.ts";

const nouns: Readonly<Record<Countable, readonly [one: string, more: string]>> = {
  reading: ["Messwert", "Messwerte"],
  circuit: ["Stromkreis", "Stromkreise"],
  connector: ["Steckverbindung", "Steckverbindungen"],
  row: ["Zeile", "Zeilen"],
  entry: ["Eintrag", "Einträge"],
};

const circuits = placesIn({
  lane: "Bahn",
  noLane: "keine",
  to: "bis",
  end: (name) => `Seite ${name}`,
});

/**
 * How things are called in German. The pool file's names stand as they are, without article or ending:
 * nobody knows their gender.
 */
export const germanPlaces: PlaceWords = {
  ...circuits,
  connector: (place) => {
    const lane = isOfLane(place) ? `${circuits.lane(place.lane)} ` : "";
    const group = isGroup(place) ? ` (Bahnen ${circuits.lanes(place.lanes)})` : "";
    return `${lane}${deviceBefore(place)}${inLine(place.connector)}${group}${circuits.end(place.end)}`;
  },
  circuitAt: (place) => `${circuits.circuit(place)} bei ${inLine(place.point)}`,
  lastPoint: "letzter Punkt",
  counted: (count, what) => `${count} ${nouns[what][count === 1 ? 0 : 1]}`,
};
