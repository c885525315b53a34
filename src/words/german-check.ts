import type { CheckWords } from "./check-words.ts";
import { germanPlaces as places } from "./german-places.ts";

const limited = (limit: string, where: string): string => `Grenze ${limit}, ${where}`;

/** `check` in German. */
export const germanCheck: CheckWords = {
  head: ({ pool, walk, readings, circuits }) =>
    `${pool}, Rundgang ${walk}: ${places.counted(readings, "reading")}, ${places.counted(circuits, "circuit")}`,
  misfit: (best) =>
    `Die Messwerte passen nicht zusammen: nichts ist in Ordnung, und keine Wahrscheinlichkeit liegt hier über 95 %. Passend machte sie: ${best ?? "etwas, das dieses Programm nicht kennt"}.`,
  readAgainFirst: (all) =>
    `Zuerst nachmessen: ${all.map((one) => `${places.circuit(one)}, ${one.point}`).join("; ")}.`,
  sound: (limit, where) =>
    `In Ordnung: jeder gemessene Stromkreis liegt über der Grenze (${limited(limit, where)}).`,
  notYet: (finding, limit, where) =>
    `${finding}. Noch liegt kein Stromkreis unter der Grenze (${limited(limit, where)}).`,
  weak: (limit, told) => `Schwach (Grenze ${limit}): ${told}.`,
  again: (who, why) => `Nachmessen: ${who}: ${why}.`,
  andMore: (count) => `und ${count} mehr`,
  andMoreCircuits: (count) => `und noch ${places.counted(count, "circuit")}`,
  othersSound: (count, least) =>
    `${count} ${count === 1 ? "anderer Stromkreis ist" : "andere Stromkreise sind"} in Ordnung: am letzten Punkt ${least} oder mehr.`,
  mapTitle: "Volt nach Bahn und Punkt",
  mapHeads: ["Bahn", "Gerät"],
  marks: { again: "unklar", open: "offen", weak: "tief" },
  circuits: (counts, limit, where) => `Stromkreise: ${counts} (${limited(limit, where)})`,
  everySound: (limit, where) =>
    `Jeder gemessene Stromkreis ist in Ordnung (${limited(limit, where)}).`,
  readAgainTitle: "Nachmessen, in dieser Reihenfolge",
  shown: (line, volts) => ` (Zeile ${line}, ${volts})`,
  informed: (walks) =>
    walks.length === 1
      ? `Geht von dem aus, was der Rundgang ${walks[0]} ergab.`
      : `Geht von dem aus, was die Rundgänge ${walks.slice(0, -1).join(", ")} und ${walks.at(-1)} ergaben.`,
  details: "--details: alle Messwerte, Wahrscheinlichkeiten, Reserven und Hinweise.",
  unknownLoad:
    "Der Eingangswiderstand des Messgeräts ist nicht bekannt: die Reihenfolge gilt, Widerstände sind " +
    "ungenau, und kein Stromkreis kann in Ordnung heißen. Ein bekannter Widerstand vor dem Messgerät " +
    "klärt ihn (dropwise meter).",
  meter: (name, what) => `Messgerät ${name}: ${what}`,
  showsNothing: "zeigt gar keinen Kontaktwiderstand.",
  shows: (ohms) => `zeigt einen Kontakt ab ${ohms}.`,
  showsTooLittle: (ohms) =>
    `zeigt einen Kontakt ab ${ohms}, und ein Pfad kann schon mit weniger an der Grenze sein: keiner, der damit gemessen ist, kann in Ordnung heißen.`,
  unused: (lost, of, used) =>
    `Achtung: ${lost} von ${places.counted(of, "row")} nicht verwendet; was folgt, beruht auf den anderen ${used}.`,
};
