import type { Estimate } from "../domain/findings.ts";
import type { CircuitStanding, Margins, MissingFigure } from "../domain/margins.ts";
import type { Pool } from "../domain/pool.ts";
import { circuitText, ohmsFigures, ohmsText, voltsText } from "./names.ts";

/** How many circuits are named: those nearest to a missed touch. */
const NAMED = 3;
/** How many are where they may miss touches already. */
const NAMED_MISSING = 12;

/** What only the timer's maker knows, by the pool file's key. */
const makersFigures: Readonly<Record<MissingFigure, string>> = {
  "supply.source_ohms": "the resistance between its supply and its input",
  "timer_input.low_max": "the highest input voltage at which a touch still registers",
  "timer_input.high_min": "the lowest that still counts as untouched",
};

/**
 * How far the circuits are from a missed touch and from a false one, those nearest to it by name;
 * in one sentence what to ask for, where a figure is missing.
 */
export function marginLines(pool: Pool, circuits: readonly CircuitStanding[]): readonly string[] {
  const [first] = circuits;
  if (first === undefined) return [];
  if (first.margins.kind === "ask") return [askFor(first.margins.missing)];
  const tightest = circuits
    .flatMap(({ margins, ...circuit }) =>
      margins.kind === "known" ? [{ name: circuitText(circuit), margins }] : [],
    )
    .sort((a, b) => a.margins.touch.low - b.margins.touch.low);
  const missing = tightest.filter(({ margins }) => margins.touch.low < 0).length;
  const named = Math.max(NAMED, Math.min(NAMED_MISSING, missing));
  return [
    `Margins at the timer's input${thresholdsText(pool)}, tightest first (90 %)`,
    ...tightest.slice(0, named).map(({ name, margins }) => `  ${name}: ${marginWords(margins)}.`),
    ...othersLine(tightest.slice(named).map(({ margins }) => margins.touch.low)),
    ...(tightest.every(({ margins }) => margins.switchKnown) ? [] : [`  ${unpressed}`]),
    "",
  ];
}

/** The circuits that may miss touches already: worth a line where nobody asked for margins. */
export function missingLines(circuits: readonly CircuitStanding[]): readonly string[] {
  const names = circuits.flatMap(({ margins, ...circuit }) =>
    margins.kind === "known" && margins.touch.low < 0 ? [circuitText(circuit)] : [],
  );
  if (names.length === 0) return [];
  const more = names.length - NAMED_MISSING;
  const rest = more > 0 ? `, and ${more} more` : "";
  return [`May miss touches already: ${names.slice(0, NAMED_MISSING).join(", ")}${rest}.`];
}

const unpressed = "* No pressed reading: the switch itself counts as 0 Ω.";

/** The circuits that are not named, by their lowest touch margins [Ω], the lowest first. */
function othersLine(lows: readonly number[]): readonly string[] {
  const [least] = lows;
  if (least === undefined) return [];
  const others = lows.length === 1 ? "The other" : `The ${lows.length} others`;
  if (least < 0) return [`  ${others} may miss touches too.`];
  return [`  ${others} can gain ${ohmsText(least)} or more.`];
}

function thresholdsText({ timerInput }: Pool): string {
  if (timerInput === null) return "";
  const [low, high] = [voltsText(timerInput.lowMax), voltsText(timerInput.highMin)];
  return ` (touch at ${low} or under, rest at ${high} or over)`;
}

function askFor(missing: readonly MissingFigure[]): string {
  const figures = missing.map((one) => makersFigures[one]).join("; ");
  return `For touch and rest margins, ask the timer's maker for ${figures} (${missing.join(", ")}).`;
}

function marginWords({ touch, switchKnown, rest }: Extract<Margins, { kind: "known" }>): string {
  return `${touchWords(touch)}${switchKnown ? "" : " *"}; ${restWords(rest)}`;
}

function touchWords(touch: Estimate): string {
  if (touch.high < 0) return "misses touches already";
  const { median, low } = touch;
  const gain = `can gain ${ohmsText(Math.max(0, median))} before a touch is missed`;
  if (low < 0) return `${gain}, and may miss touches already`;
  return `${gain} (${between(touch)})`;
}

function restWords(rest: Estimate): string {
  if (rest.high === 0) return "no leak at the device can hold the line down";
  return `a leak under ${ohmsText(rest.median)} (${between(rest)}) holds the line down`;
}

const between = ({ low, high }: Estimate): string => `${bare(low)} to ${bare(high)}`;

const bare = (ohms: number): string => ohmsFigures(ohms).replace("open", "unlimited");
