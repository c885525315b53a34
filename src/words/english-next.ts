import { englishFigures as figures } from "./english-figures.ts";
import { englishPlaces as places } from "./english-places.ts";
import { sentence } from "./figure-words.ts";
import type { NextWords } from "./next-words.ts";

const moved = (isMoved: boolean): string => (isMoved ? ", while you move its plug" : "");

/** The next reading in English. */
export const englishNext: NextWords = {
  stops: {
    "all-settled": "Stop here: every circuit is sound or weak, and no reading would change that.",
    "nothing-worth-taking": "Stop here: no reading left would tell anything to speak of.",
    "out-of-reach": "Stop here: what is worth reading can't be reached.",
  },
  next: (pool, place, isMoved) => `${pool}: read ${places.circuitAt(place)} next${moved(isMoved)}.`,
  acts: { read: "as always", move: "plug moved", unplug: "unplugged" },
  heads: ["#", "lane", "device", "point", "how", "seconds"],
  unplug: (place) =>
    `Or unplug the ${places.circuit(place)} and read the ${place.point} without it: if the volts come up, ` +
    "the device is at fault. That reading goes into no sheet.",
  ask: (number, place, isMoved) =>
    `${number}  ${sentence(places.circuit(place))}, ${place.point}${moved(isMoved)}: `,
  noSuspect: (place, atFault) =>
    `no suspect (most likely ${places.connector(place)} ${figures.percent(atFault)})`,
  suspect: (place, atFault, drops) =>
    `suspect: ${places.connector(place)} ${figures.percent(atFault)}, drops ${figures.volts(drops)}`,
  help: `   type what the meter shows: 4.91  4,91  4.9 V
   -  can't reach this point     u  undo the last reading
   m  meter just switched on     q  stop     ?  help
`,
  nothingRead: "Nothing was read.",
  written: (count, file) => `${count} readings are in ${file}.`,
  torn: (line) => `The last line was cut short and is asked again: ${line}`,
  goingOn: (walk, count) => `Going on with walk ${walk}: ${count} readings so far.`,
  meterOn: "meter on: noted with the next reading",
  nothingToUndo: "nothing to undo",
  undone: (place, volts) => `undone: ${places.circuit(place)}, ${place.point}, ${volts} V`,
  zero: "0: was the meter on? If not: u, then m",
  notTaken: null,
};
