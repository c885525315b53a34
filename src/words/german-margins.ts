import type { Estimate } from "../domain/findings.ts";
import type { MissingFigure } from "../domain/margins.ts";
import { isCalledOpen } from "./figure-words.ts";
import { germanFigures as figures } from "./german-figures.ts";
import type { MarginWords } from "./margin-words.ts";

/** What only the timer's maker knows. */
const makersFigures: Readonly<Record<MissingFigure, string>> = {
  "supply.source_ohms": "dem Widerstand zwischen seiner Versorgung und seinem Eingang",
  "timer_input.low_max": "der höchsten Eingangsspannung, bei der ein Anschlag noch zählt",
  "timer_input.high_min": "der niedrigsten, die noch als unberührt gilt",
};

const bare = (ohms: number): string =>
  isCalledOpen(ohms) ? "unbegrenzt" : figures.ohmsFigures(ohms);

const between = ({ low, high }: Estimate): string => `${bare(low)} bis ${bare(high)}`;

function touchWords(touch: Estimate): string {
  if (touch.high < 0) return "verpasst schon Anschläge";
  const gain = `verträgt noch ${figures.ohms(Math.max(0, touch.median))}, bis ein Anschlag verpasst wird`;
  return touch.low < 0
    ? `${gain}, und verpasst vielleicht schon welche`
    : `${gain} (${between(touch)})`;
}

const restWords = (rest: Estimate): string =>
  rest.high === 0
    ? "kein Leck am Gerät kann die Leitung unten halten"
    : `ein Leck unter ${figures.ohms(rest.median)} (${between(rest)}) hält die Leitung unten`;

/** Margins in German. */
export const germanMargins: MarginWords = {
  ask: (missing) =>
    `Für die Reserven beim Anschlag und in Ruhe den Hersteller des Zeitmessgeräts fragen, und zwar nach ${missing.map((one) => makersFigures[one]).join("; ")} (${missing.join(", ")}).`,
  title: (input) => {
    const thresholds =
      input === null
        ? ""
        : ` (Anschlag bis ${figures.volts(input.lowMax)}, Ruhe ab ${figures.volts(input.highMin)})`;
    return `Reserven am Eingang des Zeitmessgeräts${thresholds}, die knappsten zuerst (90 %)`;
  },
  both: ({ touch, switchKnown, rest }) =>
    `${touchWords(touch)}${switchKnown ? "" : " *"}; ${restWords(rest)}`,
  others: (count, least) => {
    const one = count === 1;
    const others = one ? "Der andere" : `Die ${count} anderen`;
    return least < 0
      ? `${others} ${one ? "verpasst" : "verpassen"} vielleicht auch Anschläge.`
      : `${others} ${one ? "verträgt" : "vertragen"} noch ${figures.ohms(least)} oder mehr.`;
  },
  unpressed: "* Ohne gedrückten Messwert: der Schalter selbst zählt als 0 Ω.",
  missing: (circuits, more) =>
    `Verpassen vielleicht schon Anschläge: ${circuits.join(", ")}${more > 0 ? `, und ${more} mehr` : ""}.`,
};
