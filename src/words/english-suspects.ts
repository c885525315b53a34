import type { Evidence, Failing } from "../domain/findings.ts";
import { englishFigures as figures } from "./english-figures.ts";
import { englishPlaces as places } from "./english-places.ts";
import { sentence } from "./figure-words.ts";
import { dropsTold, failsTold, intervalTold, type SuspectWords } from "./suspect-words.ts";

const failings: Readonly<Record<Failing, string>> = {
  fouled: "film or corrosion",
  open: "open in the connector",
  "comes-and-goes": "comes and goes",
  cable: "open in the cable up to it",
};

const readText = ({ point, volts, expectedIfSound }: Evidence): string =>
  `the ${point} reads ${figures.volts(volts)} and should read ${figures.volts(expectedIfSound)}`;

/** Suspects in English. */
export const englishSuspects: SuspectWords = {
  nothingRead: "No circuit was read",
  none: (lead) =>
    `No connector is more likely faulty than sound (${places.connector(lead)}: ${figures.percent(lead.atFault)})`,
  one: (only) => `${sentence(places.connector(only))} drops ${figures.volts(only.voltsLost)}`,
  several: (suspects) => `Suspect, in walking order: ${dropsTold(suspects, places, figures)}`,
  ways: {
    fouled: "fouled",
    open: "open",
    "comes-and-goes": "comes and goes",
    cable: "cable broken",
  },
  look: "look for the break",
  decides: "To clean, to replace or to leave: decide weighs each by the season and by prices.",
  actHeads: ["go to", "there", "drops", "sure"],
  actLine: (where, act, drops, sure) => `${where}: ${act}; ${drops}, ${sure} sure`,
  toTell: (suspect, wanted) =>
    `${places.connector(suspect)} or the ${suspect.inseparableFrom.join(" or the ")}: read ${places.circuitAt(wanted)} to tell.`,
  title: "Suspects, those that take most volts first",
  heads: ["#", "connector", "at fault", "resistance (90 %)", "drops"],
  interval: (ohms) => intervalTold(ohms, "to", figures),
  failings,
  inWords: ({ found, speakFor, against }) => {
    const name = places.connector(found);
    const circuit = places.circuit(found.worst);
    const parts = [
      speakFor.length > 0
        ? `${name}: on ${circuit}, ${speakFor.map(readText).join("; ")}`
        : `${name}: no reading of ${circuit} speaks for it`,
      ...(against.length > 0 ? [`against it: ${against.map(readText).join("; ")}`] : []),
      ...(found.wouldSeparate === null
        ? []
        : [
            `the readings cannot tell it from the ${found.inseparableFrom.join(" or the ")}: read ${places.circuitAt(found.wouldSeparate)}`,
          ]),
      ...(found.fails.length > 0 ? [`how it fails: ${failsTold(found, failings, figures)}`] : []),
    ];
    const suffer =
      found.circuits.length === 0 ? "" : ` Circuits that suffer: ${found.circuits.join(", ")}.`;
    return `${parts.join("; ")}.${suffer}`;
  },
  others: (count, chance) =>
    `${count} other ${count === 1 ? "connector" : "connectors"} under ${figures.percent(chance)}.`,
  noneOf: (count, chance) =>
    `No connector is suspect: all ${count} are under ${figures.percent(chance)}.`,
};
