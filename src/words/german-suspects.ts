import type { Evidence, Failing } from "../domain/findings.ts";
import { sentence } from "./figure-words.ts";
import { germanFigures as figures } from "./german-figures.ts";
import { germanPlaces as places } from "./german-places.ts";
import { dropsTold, failsTold, intervalTold, type SuspectWords } from "./suspect-words.ts";

const failings: Readonly<Record<Failing, string>> = {
  fouled: "Belag oder Korrosion",
  open: "in der Verbindung offen",
  "comes-and-goes": "Wackelkontakt",
  cable: "im Kabel davor offen",
};

const readText = ({ point, volts, expectedIfSound }: Evidence): string =>
  `${point} zeigt ${figures.volts(volts)} statt ${figures.volts(expectedIfSound)}`;

/** A finding names a circuit of another lane as `lane 3 touchpad`. */
const sufferer = (name: string): string => name.replace(/^lane (?=\S+ )/, "Bahn ");

/** Suspects in German. */
export const germanSuspects: SuspectWords = {
  nothingRead: "Kein Stromkreis wurde gemessen",
  none: (lead) =>
    `Keine Verbindung ist eher schadhaft als in Ordnung (${places.connector(lead)}: ${figures.percent(lead.atFault)})`,
  one: (only) => `${sentence(places.connector(only))} verliert ${figures.volts(only.voltsLost)}`,
  several: (suspects) =>
    `Verdächtig, in der Reihenfolge des Wegs: ${dropsTold(suspects, places, figures)}`,
  ways: {
    fouled: "verschmutzt",
    open: "offen",
    "comes-and-goes": "Wackelkontakt",
    cable: "Kabel gebrochen",
  },
  look: "Unterbrechung suchen",
  decides:
    "Reinigen, ersetzen oder lassen: decide wägt es nach dem Verlauf und nach den Preisen ab.",
  actHeads: ["wohin", "was tun", "Verlust", "sicher"],
  actLine: (where, act, drops, sure) => `${where}: ${act}; Verlust ${drops}, zu ${sure} sicher`,
  toTell: (suspect, wanted) =>
    `${places.connector(suspect)} oder ${suspect.inseparableFrom.join(" oder ")}: ${places.circuitAt(wanted)} messen, um es zu unterscheiden.`,
  title: "Verdächtige, die mit dem größten Verlust zuerst",
  heads: ["#", "Verbindung", "schadhaft", "Widerstand (90 %)", "Verlust"],
  interval: (ohms) => intervalTold(ohms, "bis", figures),
  failings,
  inWords: ({ found, speakFor, against }) => {
    const name = places.connector(found);
    const circuit = places.circuit(found.worst);
    const parts = [
      speakFor.length > 0
        ? `${name}: an ${circuit}: ${speakFor.map(readText).join("; ")}`
        : `${name}: kein Messwert von ${circuit} spricht dafür`,
      ...(against.length > 0 ? [`dagegen spricht: ${against.map(readText).join("; ")}`] : []),
      ...(found.wouldSeparate === null
        ? []
        : [
            `die Messwerte unterscheiden es nicht von ${found.inseparableFrom.join(" oder ")}: ${places.circuitAt(found.wouldSeparate)} messen`,
          ]),
      ...(found.fails.length > 0
        ? [`Art des Schadens: ${failsTold(found, failings, figures)}`]
        : []),
    ];
    const suffer =
      found.circuits.length === 0 ? "" : ` Betroffen: ${found.circuits.map(sufferer).join(", ")}.`;
    return `${parts.join("; ")}.${suffer}`;
  },
  others: (count, chance) =>
    `${count} andere ${count === 1 ? "Verbindung liegt" : "Verbindungen liegen"} unter ${figures.percent(chance)}.`,
  noneOf: (count, chance) =>
    `Keine Verbindung ist verdächtig: alle ${count} liegen unter ${figures.percent(chance)}.`,
};
