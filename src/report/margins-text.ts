import type { CircuitStanding } from "../domain/margins.ts";
import type { Pool } from "../domain/pool.ts";
import type { Words } from "../words/words.ts";

/** How many circuits are named: those nearest to a missed touch. */
const NAMED = 3;
/** How many are where they may miss touches already. */
const NAMED_MISSING = 12;

/**
 * How far the circuits are from a missed touch and from a false one, those nearest to it by name;
 * in one sentence what to ask for, where a figure is missing.
 */
export function marginLines(
  { timerInput }: Pool,
  circuits: readonly CircuitStanding[],
  { margins: say, places }: Words,
): readonly string[] {
  const [first] = circuits;
  if (first === undefined) return [];
  if (first.margins.kind === "ask") return [say.ask(first.margins.missing)];
  const tightest = circuits
    .flatMap(({ margins, ...circuit }) =>
      margins.kind === "known" ? [{ name: places.circuit(circuit), margins }] : [],
    )
    .sort((a, b) => a.margins.touch.low - b.margins.touch.low);
  const missing = tightest.filter(({ margins }) => margins.touch.low < 0).length;
  const named = Math.max(NAMED, Math.min(NAMED_MISSING, missing));
  const others = tightest.slice(named);
  return [
    say.title(timerInput),
    ...tightest.slice(0, named).map(({ name, margins }) => `  ${name}: ${say.both(margins)}.`),
    ...others.slice(0, 1).map(({ margins }) => `  ${say.others(others.length, margins.touch.low)}`),
    ...(tightest.every(({ margins }) => margins.switchKnown) ? [] : [`  ${say.unpressed}`]),
    "",
  ];
}

/** The circuits that may miss touches already: worth a line where nobody asked for margins. */
export function missingLines(
  circuits: readonly CircuitStanding[],
  { margins: say, places }: Words,
): readonly string[] {
  const names = circuits.flatMap(({ margins, ...circuit }) =>
    margins.kind === "known" && margins.touch.low < 0 ? [places.circuit(circuit)] : [],
  );
  if (names.length === 0) return [];
  return [say.missing(names.slice(0, NAMED_MISSING), Math.max(0, names.length - NAMED_MISSING))];
}
