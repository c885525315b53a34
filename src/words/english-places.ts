import { isGroup, isOfLane } from "../domain/place.ts";
import { type Countable, deviceBefore, inLine, type PlaceWords, placesIn } from "./place-words.ts";

const plurals: Readonly<Record<Countable, string>> = {
  reading: "readings",
  circuit: "circuits",
  connector: "connectors",
  row: "rows",
  entry: "entries",
};

const circuits = placesIn({
  lane: "lane",
  noLane: "none",
  to: "to",
  end: (name) => `${name} end`,
});

/** How things are called in English. */
export const englishPlaces: PlaceWords = {
  ...circuits,
  connector: (place) => {
    const group = isGroup(place) ? ` of lanes ${circuits.lanes(place.lanes)}` : "";
    const lane = isOfLane(place) ? `${circuits.lane(place.lane)} ` : "";
    return `${lane}${deviceBefore(place)}${inLine(place.connector)}${group}${circuits.end(place.end)}`;
  },
  circuitAt: (place) => `${circuits.circuit(place)} at the ${inLine(place.point)}`,
  lastPoint: "last point",
  counted: (count, what) => `${count} ${count === 1 ? what : plurals[what]}`,
};
