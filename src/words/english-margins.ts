import type { Estimate } from "../domain/findings.ts";
import type { MissingFigure } from "../domain/margins.ts";
import { englishFigures as figures } from "./english-figures.ts";
import { isCalledOpen } from "./figure-words.ts";
import type { MarginWords } from "./margin-words.ts";

/** What only the timer's maker knows. */
const makersFigures: Readonly<Record<MissingFigure, string>> = {
  "supply.source_ohms": "the resistance between its supply and its input",
  "timer_input.low_max": "the highest input voltage at which a touch still registers",
  "timer_input.high_min": "the lowest that still counts as untouched",
};

const bare = (ohms: number): string =>
  isCalledOpen(ohms) ? "unlimited" : figures.ohmsFigures(ohms);

const between = ({ low, high }: Estimate): string => `${bare(low)} to ${bare(high)}`;

function touchWords(touch: Estimate): string {
  if (touch.high < 0) return "misses touches already";
  const gain = `can gain ${figures.ohms(Math.max(0, touch.median))} before a touch is missed`;
  return touch.low < 0 ? `${gain}, and may miss touches already` : `${gain} (${between(touch)})`;
}

const restWords = (rest: Estimate): string =>
  rest.high === 0
    ? "no leak at the device can hold the line down"
    : `a leak under ${figures.ohms(rest.median)} (${between(rest)}) holds the line down`;

/** Margins in English. */
export const englishMargins: MarginWords = {
  ask: (missing) =>
    `For touch and rest margins, ask the timer's maker for ${missing.map((one) => makersFigures[one]).join("; ")} (${missing.join(", ")}).`,
  title: (input) => {
    const thresholds =
      input === null
        ? ""
        : ` (touch at ${figures.volts(input.lowMax)} or under, rest at ${figures.volts(input.highMin)} or over)`;
    return `Margins at the timer's input${thresholds}, tightest first (90 %)`;
  },
  both: ({ touch, switchKnown, rest }) =>
    `${touchWords(touch)}${switchKnown ? "" : " *"}; ${restWords(rest)}`,
  others: (count, least) => {
    const others = count === 1 ? "The other" : `The ${count} others`;
    return least < 0
      ? `${others} may miss touches too.`
      : `${others} can gain ${figures.ohms(least)} or more.`;
  },
  unpressed: "* No pressed reading: the switch itself counts as 0 Ω.",
  missing: (circuits, more) =>
    `May miss touches already: ${circuits.join(", ")}${more > 0 ? `, and ${more} more` : ""}.`,
};
