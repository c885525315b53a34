import { type CircuitName, isOfDevice, isOfLane, type Lane, type Place } from "../domain/place.ts";

/** A connector by its name and its place. */
export type NamedPlace = Omit<Place, "point"> & { readonly connector: string };

/** Whether a connector's device is named before it: a name that says its device already is not told it twice. */
const isDeviceNamed = (place: NamedPlace): boolean =>
  isOfDevice(place) && !place.connector.startsWith(place.device);

/** What is counted in answers. */
export type Countable = "reading" | "circuit" | "connector" | "row" | "entry";

/**
 * How things are called. Names of points, devices, connectors, meters and supplies are the pool file's
 * own and stand in no dictionary: a sheet and an answer call a place by one name.
 */
export interface PlaceWords {
  /** ` (turn end)`; nothing where the pool has no ends. */
  readonly end: (end: string | null) => string;
  /** `lane 3 touchpad`, `lane 3 touchpad (turn end)`; `start` for a circuit of no lane. */
  readonly circuit: (circuit: CircuitName) => string;
  /** `lane 3`, or the device of a circuit that belongs to no lane. */
  readonly who: (circuit: CircuitName) => string;
  /** `lane 3`. */
  readonly lane: (lane: Lane) => string;
  /** A circuit's lane in a table: `none` for a circuit of no lane, as sheets write it. */
  readonly laneCell: (circuit: { readonly lane: Lane | null }) => string;
  /** A circuit's device in a table, with its end where the pool has ends. */
  readonly deviceCell: (circuit: CircuitName) => string;
  /** `1 to 4` for a run of numbers, else `1, 3, 5`. */
  readonly lanes: (lanes: readonly Lane[]) => string;
  /**
   * `lane 3 plate connector`, `lane 3 touchpad pod terminals`, `timer outlet`; of connectors that
   * groups of lanes share, `harness connector of lanes 1 to 4`.
   */
  readonly connector: (place: NamedPlace) => string;
  /** `lane 3 touchpad at the pod`. */
  readonly circuitAt: (place: CircuitName & { readonly point: string }) => string;
  /** Where a path ends, where circuits end at several points. */
  readonly lastPoint: string;
  /** `1 reading`, `3 readings`. */
  readonly counted: (count: number, what: Countable) => string;
}

/** A letter of a script that is written from right to left. */
export const rightToLeft =
  /[\p{Script=Arabic}\p{Script=Hebrew}\p{Script=Nko}\p{Script=Syriac}\p{Script=Thaana}]/u;

/**
 * A name of the pool's own as it stands in a line that runs from left to right. One that runs from
 * right to left is closed by a left-to-right mark: a number right behind it would be drawn in front
 * of it (Unicode Standard Annex 9, rules W2 and N1).
 */
export const inLine = (name: string | number): string =>
  rightToLeft.test(String(name)) ? `${name}\u200e` : String(name);

/** Its device in front of a connector's name, where it is named. */
export const deviceBefore = (place: NamedPlace): string =>
  isDeviceNamed(place) ? `${inLine(place.device ?? "")} ` : "";

/** What languages differ in where they name circuits. */
interface PlaceManners {
  readonly lane: string;
  /** A circuit's lane in a table where it has none. */
  readonly noLane: string;
  /** Between the first and the last of a run. */
  readonly to: string;
  readonly end: (name: string) => string;
}

/** Circuits, lanes and ends in one language's manner. */
export function placesIn(
  manners: PlaceManners,
): Pick<PlaceWords, "end" | "circuit" | "who" | "lane" | "laneCell" | "deviceCell" | "lanes"> {
  const end = (name: string | null): string =>
    name === null ? "" : ` (${manners.end(inLine(name))})`;
  const lane = (name: Lane): string => `${manners.lane} ${inLine(name)}`;
  const device = (one: CircuitName): string => `${inLine(one.device)}${end(one.end)}`;
  return {
    end,
    lane,
    circuit: (one) => `${isOfLane(one) ? `${lane(one.lane)} ` : ""}${device(one)}`,
    who: (one) => (isOfLane(one) ? lane(one.lane) : inLine(one.device)),
    laneCell: (one) => (isOfLane(one) ? String(one.lane) : manners.noLane),
    deviceCell: (one) => `${one.device}${end(one.end)}`,
    lanes: (all) => {
      const isRun = all.length > 2 && all.every((name, i) => name === Number(all[0]) + i);
      return isRun ? `${all[0]} ${manners.to} ${all.at(-1)}` : all.map(inLine).join(", ");
    },
  };
}
