import type { SecondAnswer } from "./tally-answer.ts";

/** What kind of number an answer's field is. */
export type GapKind = "probability" | "logEvidence" | "median" | "bound" | "volts";

/** How far one number of one answer is from the same number of another. */
export interface Gap {
  /** Where in the answer, such as `contacts.2.ohms.median`. */
  readonly where: string;
  readonly kind: GapKind;
  /** Absolute for probabilities, log evidence and volts; relative for ohms; infinite for open. */
  readonly size: number;
}

/** The largest gap of each kind. */
export type OwnError = Readonly<Record<GapKind, number>>;

const kindOf = (where: string): GapKind => {
  if (where === "logEvidence") return "logEvidence";
  if (/(emf|drift|noise)\./.test(where)) return "volts";
  if (/\.median$/.test(where)) return "median";
  return /\.(low|high)$/.test(where) ? "bound" : "probability";
};

const labels = new Set(["name", "lane", "device", "point", "kind", "connector", "row"]);

/** Under a thousandth of an ohm, a source resistance is nought. */
const least = 1e-3;

const sizeOf = (kind: GapKind, a: unknown, b: unknown): number => {
  if (a === b) return 0;
  if (typeof a !== "number" || typeof b !== "number") return Number.POSITIVE_INFINITY;
  const gap = Math.abs(a - b);
  return kind === "median" || kind === "bound" ? gap / Math.max(Math.abs(b), least) : gap;
};

/** All gaps between two answers for the same walk. Throws where they are about different things. */
export const gapsBetween = (mine: SecondAnswer, theirs: SecondAnswer): Gap[] => {
  const gaps: Gap[] = [];
  const walk = (a: unknown, b: unknown, where: string, key: string): void => {
    if (labels.has(key)) {
      if (a !== b) throw new Error(`${where}: ${String(a)} is not ${String(b)}`);
    } else if (typeof b === "object" && b !== null && key !== "members") {
      if (typeof a !== "object" || a === null) throw new Error(`${where}: nothing said`);
      for (const [name, value] of Object.entries(b)) {
        walk((a as Record<string, unknown>)[name], value, where ? `${where}.${name}` : name, name);
      }
    } else if (key !== "members") {
      const kind = kindOf(where);
      gaps.push({ where, kind, size: sizeOf(kind, a, b) });
    }
  };
  walk(mine, theirs, "", "");
  return gaps;
};

/** The largest gap of each kind, over those that `counts`. */
export const largestGaps = (
  gaps: readonly Gap[],
  counts: (gap: Gap) => boolean = () => true,
): OwnError => {
  const largest = { probability: 0, logEvidence: 0, median: 0, bound: 0, volts: 0 };
  for (const gap of gaps.filter(counts)) {
    largest[gap.kind] = Math.max(largest[gap.kind], gap.size);
  }
  return largest;
};

/** How well a number must be known for a program to be judged by it. */
export const goodEnough: OwnError = {
  probability: 0.002,
  logEvidence: 0.004,
  median: 0.01,
  bound: 0.02,
  volts: 0.001,
};
