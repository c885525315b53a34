import { sentence } from "./figure-words.ts";
import { germanFigures as figures } from "./german-figures.ts";
import { germanPlaces as places } from "./german-places.ts";
import type { NextWords } from "./next-words.ts";

const moved = (isMoved: boolean): string => (isMoved ? ", dabei den Stecker bewegen" : "");

/** The next reading in German. */
export const germanNext: NextWords = {
  stops: {
    "all-settled":
      "Hier aufhören: jeder Stromkreis ist in Ordnung oder schwach, keine Messung änderte das.",
    "nothing-worth-taking": "Hier aufhören: keine Messung brächte noch Nennenswertes.",
    "out-of-reach": "Hier aufhören: was zu messen sich lohnt, ist nicht zu erreichen.",
  },
  next: (pool, place, isMoved) =>
    `${pool}: als Nächstes ${places.circuitAt(place)} messen${moved(isMoved)}.`,
  acts: { read: "wie immer", move: "Stecker bewegt", unplug: "abgesteckt" },
  heads: ["#", "Bahn", "Gerät", "Punkt", "wie", "Sekunden"],
  unplug: (place) =>
    `Oder abstecken: ${places.circuit(place)}, und ${place.point} ohne es messen: steigt die Spannung, so ` +
    "liegt es am Gerät. Dieser Messwert gehört in kein Blatt.",
  ask: (number, place, isMoved) =>
    `${number}  ${sentence(places.circuit(place))}, ${place.point}${moved(isMoved)}: `,
  noSuspect: (place, atFault) =>
    `nichts verdächtig (am ehesten ${places.connector(place)} ${figures.percent(atFault)})`,
  suspect: (place, atFault, drops) =>
    `verdächtig: ${places.connector(place)} ${figures.percent(atFault)}, Verlust ${figures.volts(drops)}`,
  help: `   eingeben, was das Messgerät zeigt: 4.91  4,91  4,9 V
   -  nicht zu erreichen               u  letzten Messwert zurücknehmen
   m  Messgerät eben eingeschaltet     q  aufhören     ?  Hilfe
`,
  nothingRead: "Nichts wurde gemessen.",
  written: (count, file) => `${places.counted(count, "reading")} in ${file}.`,
  torn: (line) => `Die letzte Zeile war abgeschnitten und wird neu erfragt: ${line}`,
  goingOn: (walk, count) =>
    `Weiter mit Rundgang ${walk}: bisher ${places.counted(count, "reading")}.`,
  meterOn: "Messgerät an: beim nächsten Messwert vermerkt",
  nothingToUndo: "nichts zurückzunehmen",
  undone: (place, volts) =>
    `zurückgenommen: ${places.circuit(place)}, ${place.point}, ${String(volts).replace(".", ",")} V`,
  zero: "0: war das Messgerät an? Wenn nicht: u, dann m",
  notTaken: "nicht verwendet, der Grund bisher nur auf Englisch:",
};
