import type { ExplanationWords, ToldExplanation } from "./explanation-words.ts";
import { germanFigures as figures } from "./german-figures.ts";
import { germanPlaces as places } from "./german-places.ts";

const circuitOf = ({ one: { lane, device, end } }: ToldExplanation): string =>
  places.circuit({ lane, device: device!, end });

/** The other circuit, by lane, device and end. */
const otherCircuit = ({ one: { of } }: ToldExplanation): string =>
  /^\d/.test(of!) ? `Bahn ${of}` : of!;

const unplug = "das Gerät abstecken und nachmessen: steigt die Spannung, so liegt es am Gerät.";

/** What else may explain the readings, in German. */
export const germanExplanations: ExplanationWords = {
  labels: { likely: "Wahrscheinlich", "not-ruled-out": "Nicht auszuschließen" },
  toTell: "Zur Klärung",
  wouldFit: {
    "supply-steps": "eine Versorgung, die während des Rundgangs gesprungen ist",
    "supply-drifts": "eine Versorgung, die sich während des Rundgangs verändert hat",
    "points-swapped": "zwei im Blatt vertauschte Punkte",
    "rows-swapped": "die vertauschten Zeilen zweier Stromkreise",
    crossed: "zwei gekreuzte Stromkreise",
  },
  kinds: {
    stuck: (told) => ({
      words: `${circuitOf(told)}: das Gerät hängt geschlossen und leitet ständig.`,
      wouldTell: unplug,
    }),
    leaking: (told) => ({
      words: `${circuitOf(told)}: das Gerät ist undicht und zieht auch in Ruhe Strom.`,
      wouldTell: unplug,
    }),
    wet: (told) => ({
      words: `${circuitOf(told)}: bei ${told.one.point} leitet Wasser zwischen den Adern.`,
      wouldTell: `${told.one.point} trocknen und nachmessen: steigt die Spannung, so war es Wasser.`,
    }),
    "display-off": ({ one }) => ({
      words: `eine Null kommt von einer Anzeige, die sich abgeschaltet hatte (Messgerät ${one.of}), nicht vom Pfad.`,
      wouldTell: "das Messgerät einschalten und diese Punkte nachmessen.",
    }),
    "supply-low": ({ one, found, nominal, hasSeveral }) => {
      const range = `${figures.decimal(found.low, 2)} bis ${figures.volts(found.high)}`;
      const which = hasSeveral ? ` ${one.of}` : "";
      return {
        words: `die Versorgung${which} ist für alle zu niedrig: ${figures.volts(found.median)} (${range}), Nennwert ${figures.volts(nominal)}; alle Messwerte fallen mit ihr.`,
        wouldTell: "die Versorgung am Zeitmessgerät messen, ohne dass etwas eingesteckt ist.",
      };
    },
    "supply-steps": (told) => ({
      words: `die Versorgung ist während des Rundgangs gesprungen, ab ${circuitOf(told)}: die Messwerte von da an liegen um so viel tiefer oder höher.`,
      wouldTell:
        "den ersten Punkt des ersten Stromkreises nachmessen, dann die fraglichen Stromkreise.",
    }),
    "supply-drifts": () => ({
      words:
        "die Versorgung, oder die Batterie des Messgeräts, hat sich vom ersten bis zum letzten Messwert verändert.",
      wouldTell: "den ersten Punkt des Rundgangs nachmessen.",
    }),
    "points-swapped": (told) => ({
      words: `${circuitOf(told)}: die Werte von ${told.one.point} und ${told.one.of} sind im Blatt vielleicht vertauscht.`,
      wouldTell: "beide Punkte nachmessen.",
    }),
    "rows-swapped": (told) => ({
      words: `die Zeilen von ${circuitOf(told)} und von ${otherCircuit(told)} sind vielleicht vertauscht.`,
      wouldTell: "einen Punkt von beiden nachmessen.",
    }),
    crossed: (told) => ({
      words: `${circuitOf(told)} und ${otherCircuit(told)} sind ab ${told.one.point} vielleicht gekreuzt.`,
      wouldTell: "ein Gerät drücken und sehen, welcher Stromkreis antwortet.",
    }),
    "meter-load": ({ one, loadOhms }) => ({
      words: `der Eingangswiderstand von Messgerät ${one.of} ist vielleicht nicht ${figures.ohms(loadOhms!)}, wie die Beckendatei sagt: ein anderer erklärt die Messwerte aller Stromkreise zusammen.`,
      wouldTell: "ihn mit bekannten Widerständen in Reihe messen: dropwise meter.",
    }),
    "meter-blind": ({ one }) => ({
      words: `Messgerät ${one.of} ist blind: sein Eingangswiderstand ist zu hoch für seine Auflösung, ein Pfad an der Grenze zeigt sich darauf nicht.`,
      wouldTell:
        "mit einem Messgerät, oder einer Last daneben, messen, das einige Milliampere zieht.",
    }),
  },
};
