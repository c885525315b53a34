import { isGroup, isOfLane } from "../domain/place.ts";
import { type Countable, isDeviceNamed, type PlaceWords } from "./place-words.ts";

const plurals: Readonly<Record<Countable, string>> = {
  reading: "readings",
  circuit: "circuits",
  connector: "connectors",
  row: "rows",
  entry: "entries",
};

const end: PlaceWords["end"] = (name) => (name === null ? "" : ` (${name} end)`);

const lanes: PlaceWords["lanes"] = (all) => {
  const isRun = all.length > 2 && all.every((lane, i) => lane === Number(all[0]) + i);
  return isRun ? `${all[0]} to ${all.at(-1)}` : all.join(", ");
};

const circuit: PlaceWords["circuit"] = (one) =>
  `${isOfLane(one) ? `lane ${one.lane} ` : ""}${one.device}${end(one.end)}`;

/** How things are called in English. */
export const englishPlaces: PlaceWords = {
  end,
  circuit,
  who: (one) => (isOfLane(one) ? `lane ${one.lane}` : one.device),
  lane: (lane) => `lane ${lane}`,
  laneCell: (one) => (isOfLane(one) ? String(one.lane) : "none"),
  deviceCell: (one) => `${one.device}${end(one.end)}`,
  lanes,
  connector: (place) => {
    const group = isGroup(place) ? ` of lanes ${lanes(place.lanes)}` : "";
    const lane = isOfLane(place) ? `lane ${place.lane} ` : "";
    const device = isDeviceNamed(place) ? `${place.device} ` : "";
    return `${lane}${device}${place.connector}${group}${end(place.end)}`;
  },
  circuitAt: (place) => `${circuit(place)} at the ${place.point}`,
  lastPoint: "last point",
  counted: (count, what) => `${count} ${count === 1 ? what : plurals[what]}`,
};
