import { englishFigures as figures } from "./english-figures.ts";
import { englishPlaces as places } from "./english-places.ts";
import type { ExplanationWords, ToldExplanation } from "./explanation-words.ts";

const circuitOf = ({ one: { lane, device, end } }: ToldExplanation): string =>
  places.circuit({ lane, device: device!, end });

/** The other circuit, by lane, device and end. */
const otherCircuit = ({ one: { of } }: ToldExplanation): string =>
  /^\d/.test(of!) ? `lane ${of}` : of!;

/** What else may explain the readings, in English. */
export const englishExplanations: ExplanationWords = {
  labels: { likely: "Likely", "not-ruled-out": "Not ruled out" },
  toTell: "To tell",
  wouldFit: {
    "supply-steps": "a supply that stepped during the walk",
    "supply-drifts": "a supply that moved during the walk",
    "points-swapped": "two points swapped in the sheet",
    "rows-swapped": "two circuits' rows swapped",
    crossed: "two circuits crossed",
  },
  kinds: {
    stuck: (told) => ({
      words: `${circuitOf(told)}: the device is stuck closed, and conducts all the time.`,
      wouldTell: "unplug the device and read again: the volts rise if it is the device.",
    }),
    leaking: (told) => ({
      words: `${circuitOf(told)}: the device leaks, and draws current at rest.`,
      wouldTell: "unplug the device and read again: the volts rise if it is the device.",
    }),
    wet: (told) => ({
      words: `${circuitOf(told)}: water conducts across the pair at the ${told.one.point}.`,
      wouldTell: `dry the ${told.one.point} and read it again: the volts rise if it was water.`,
    }),
    "display-off": ({ one }) => ({
      words: `a zero comes from a display that had gone off (meter ${one.of}), not from the path.`,
      wouldTell: "switch the meter on and read those points again.",
    }),
    "supply-low": ({ one, found, nominal, hasSeveral }) => {
      const range = `${figures.decimal(found.low, 2)} to ${figures.volts(found.high)}`;
      const which = hasSeveral ? ` ${one.of}` : "";
      return {
        words: `the supply${which} is low for everyone: ${figures.volts(found.median)} (${range}), where ${figures.volts(nominal)} is nominal; all readings fall with it.`,
        wouldTell: "read the timer's own supply with nothing plugged in.",
      };
    },
    "supply-steps": (told) => ({
      words: `the supply stepped during the walk, from ${circuitOf(told)} on: what was read there is that much lower or higher.`,
      wouldTell: "read the first circuit's first point again, then the circuits in question.",
    }),
    "supply-drifts": () => ({
      words: "the supply, or the meter's battery, moved from the first reading to the last.",
      wouldTell: "read the first point of the walk again.",
    }),
    "points-swapped": (told) => ({
      words: `${circuitOf(told)}: the values of ${told.one.point} and ${told.one.of} may be swapped in the sheet.`,
      wouldTell: "read both points again.",
    }),
    "rows-swapped": (told) => ({
      words: `the rows of ${circuitOf(told)} and of ${otherCircuit(told)} may be swapped.`,
      wouldTell: "read one point of both again.",
    }),
    crossed: (told) => ({
      words: `${circuitOf(told)} and ${otherCircuit(told)} may be crossed from the ${told.one.point} on.`,
      wouldTell: "press one device and see which circuit answers.",
    }),
    "meter-load": ({ one, loadOhms }) => ({
      words: `meter ${one.of}'s load may not be the pool file's ${figures.ohms(loadOhms!)}: another explains the readings of all circuits together.`,
      wouldTell: "measure the load with known resistors in series: dropwise meter.",
    }),
    "meter-blind": ({ one }) => ({
      words: `meter ${one.of} is blind: its load is too high for its resolution, and a path at its limit does not show on it.`,
      wouldTell: "read with a meter, or a load beside it, that draws a few milliamperes.",
    }),
  },
};
