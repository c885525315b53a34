import type { ExplanationKind } from "../domain/explanation-kinds.ts";
import type { Explanation, WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import { circuitText, ohmsText, voltsText } from "./names.ts";

/** An explanation in plain words, and the reading that would tell it from the contacts. */
export interface ExplanationWords {
  readonly words: string;
  readonly wouldTell: string | null;
}

/** What the words are about. */
interface Told {
  readonly one: Explanation;
  readonly walk: WalkDiagnosis;
  readonly pool: Pool;
}

const circuitOf = ({ one: { lane, device, end } }: Told): string =>
  circuitText({ lane, device: device!, end });

const words: Readonly<Record<ExplanationKind, (told: Told) => ExplanationWords>> = {
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
  "supply-low": ({ one, walk, pool }) => {
    const found = walk.supplies.find(({ name }) => name === one.of)?.emf ?? walk.emf;
    const nominal = pool.supplies.find(({ name }) => name === one.of)!.emf;
    const range = `${found.low.toFixed(2)} to ${voltsText(found.high)}`;
    const which = pool.supplies.length > 1 ? ` ${one.of}` : "";
    return {
      words: `the supply${which} is low for everyone: ${voltsText(found.median)} (${range}), where ${voltsText(nominal)} is nominal; all readings fall with it.`,
      wouldTell: "read the timer's own supply with nothing plugged in.",
    };
  },
  "meter-load": ({ one, pool }) => {
    const { loadOhms } = pool.meters.find(({ name }) => name === one.of)!;
    return {
      words: `meter ${one.of}'s load may not be the pool file's ${ohmsText(loadOhms!)}: another explains the readings of all circuits together.`,
      wouldTell: "measure the load with known resistors in series: dropwise meter.",
    };
  },
  "meter-blind": ({ one }) => ({
    words: `meter ${one.of} is blind: its load is too high for its resolution, and a fouled contact does not show on it.`,
    wouldTell: "read with a meter, or a load beside it, that draws a few milliamperes.",
  }),
};

export const explanationWords = (
  one: Explanation,
  walk: WalkDiagnosis,
  pool: Pool,
): ExplanationWords => words[one.kind]({ one, walk, pool });
