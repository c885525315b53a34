/** Columns that the text output keeps to: a terminal's width where nobody made it wider. */
export const COLUMNS = 80;

/** Takes no column: a mark on the letter before it, a joiner, a turn of direction. */
const noColumn = /[\p{M}\u200b-\u200f\u202a-\u202e\u2060-\u2069]/gu;

/** Takes two columns: what Unicode's annex 11 calls wide or fullwidth, as far as names have it. */
const twoColumns =
  /(?![\uff61-\uffdc])[\p{Script=Han}\p{Script=Hiragana}\p{Script=Katakana}\p{Script=Hangul}\p{Emoji_Presentation}\u3000-\u303e\uff01-\uff60\uffe0-\uffe6]/gu;

/** How many columns of a terminal a text takes. */
export function columnsOf(text: string): number {
  const seen = text.replace(noColumn, "");
  return [...seen].length + (seen.match(twoColumns)?.length ?? 0);
}

/** A space where a line may end: not between a number and its unit. */
const BREAK = / (?!(?:V|Ω|%|×|min)(?![\p{L}\p{N}]))/u;

/** Blanks that a line begins with, and the number or sign of a list's item behind them. */
const START = /^( *)((?:\d+\.|[!*]) )?/;

/**
 * Where a line's second line begins: behind the number or sign of a list's item, else two columns
 * further in, and four where the line itself stands in.
 */
function hangOf(line: string): number {
  const [all, blanks, mark] = START.exec(line)!;
  if (mark !== undefined) return all.length;
  return blanks === "" ? 2 : blanks!.length + 4;
}

/**
 * One line as lines of at most `COLUMNS` columns; a single word may be longer.
 *
 * @param hang blanks that every line but the first begins with [columns]
 */
export function wrapped(line: string, hang: number = hangOf(line)): readonly string[] {
  const [start] = START.exec(line)!;
  const lines: string[] = [];
  let now = start;
  let empty = true;
  for (const word of line.slice(start.length).split(BREAK)) {
    if (!empty && columnsOf(now) + 1 + columnsOf(word) > COLUMNS) {
      lines.push(now.trimEnd());
      now = " ".repeat(hang);
      empty = true;
    }
    now += empty ? word : ` ${word}`;
    empty = false;
  }
  return [...lines, now];
}

/** A terminal's text: lines of at most `COLUMNS` columns, the last one ended too. */
export const textOf = (lines: readonly string[]): string => `${prose(lines).join("\n")}\n`;

/** Several lines of prose, each wrapped for itself. */
export const prose = (lines: readonly string[]): readonly string[] =>
  lines.flatMap((line) => wrapped(line));
