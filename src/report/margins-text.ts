import type { Estimate } from "../domain/findings.ts";
import type { Margins, MissingFigure } from "../domain/margins.ts";
import type { Circuit } from "../domain/pool.ts";
import { circuitName } from "./names.ts";

/** What to ask for, and whom: one sentence a figure. */
const askFor: Readonly<Record<MissingFigure, string>> = {
  "supply.source_ohms":
    "Ask the timer's maker for the resistance between its 5 V supply and its input, in ohms.",
  "timer_input.low_max":
    "Ask the timer's maker for the highest input voltage at which a touch still registers.",
  "timer_input.high_min":
    "Ask the timer's maker for the lowest input voltage that still counts as untouched.",
  "meters.load_ohms": "Read the meter behind known resistors to learn its load (dropwise meter).",
};

/** The margins of one circuit in one line; what to ask for, one line each, where some are missing. */
export function marginLines({ lane, device }: Circuit, margins: Margins): readonly string[] {
  if (margins.kind === "ask") return margins.missing.map((figure) => askFor[figure]);
  const { touch, rest, switchKnown } = margins;
  const closed = switchKnown ? "" : ", the switch itself not counted (no pressed reading)";
  return [`${circuitName(lane, device)}: ${touchWords(touch)}${closed}; ${restWords(rest)}.`];
}

function touchWords(touch: Estimate): string {
  if (touch.high < 0) return "misses touches already";
  const { median, low } = touch;
  const gain = `can gain ${whole(Math.max(0, median))} ohm before a touch is missed`;
  if (low < 0) return `${gain}, and may miss touches already`;
  return `${gain} (${whole(low)} to ${whole(touch.high)})`;
}

function restWords(rest: Estimate): string {
  if (rest.high === 0) return "no leak at the device can hold the line down";
  return `a leak under ${whole(rest.median)} ohm (${whole(rest.low)} to ${whole(rest.high)}) holds the line down`;
}

const whole = (ohms: number): string => (Number.isFinite(ohms) ? ohms.toFixed(0) : "unlimited");
