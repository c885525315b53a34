import { COLUMNS, columnsOf, wrapped } from "./wrap-text.ts";

/** How text is dressed for a terminal. */
export interface Style {
  /** Escape codes are wanted: a terminal, and NO_COLOR is not set. */
  readonly colour: boolean;
}

const CODES = { bold: "1", red: "31" } as const;

/** The text in this dress, or as it is where no colour is wanted. */
export const paint = (text: string, dress: keyof typeof CODES, style: Style): string =>
  style.colour ? `\u001b[${CODES[dress]}m${text}\u001b[0m` : text;

/** How a row is told as a sentence. */
type Told = (row: readonly string[]) => string;

/**
 * Columns as wide as their widest cell, two spaces between, a rule under the head. A heading with
 * line breaks in it stands on several lines. Where that is wider than a terminal, each row stands for
 * itself as `told` has it.
 */
export function tableText(
  head: readonly string[],
  rows: readonly (readonly string[])[],
  align: readonly ("left" | "right")[],
  told: Told = byHeads(head, 1),
): readonly string[] {
  const table = columnsText(head, rows, align);
  return table.every((line) => columnsOf(line) <= COLUMNS)
    ? table
    : rows.flatMap((row) => wrapped(`  ${told(row)}`));
}

/** A cell where nothing was read. */
export const NO_VALUE = "·";

/** What the first cells name, then each other cell behind its heading: `3 touchpad: plate 4.98, pod 4.61`. */
export const byHeads =
  (head: readonly string[], naming: number): Told =>
  (row) => {
    const cells = row.map((cell, i) => ({ cell, title: head[i]!.replaceAll("\n", " ") }));
    const rest = cells.slice(naming).filter(({ cell }) => cell !== "" && cell !== NO_VALUE);
    const name = row.slice(0, naming).join(" ").trim();
    return `${name}: ${rest.map(({ cell, title }) => `${title} ${cell}`).join(", ")}`;
  };

function columnsText(
  head: readonly string[],
  rows: readonly (readonly string[])[],
  align: readonly ("left" | "right")[],
): readonly string[] {
  const titles = headLines(head);
  const widths = head.map((_, i) =>
    Math.max(...[...titles, ...rows].map((row) => columnsOf(row[i] ?? ""))),
  );
  const line = (row: readonly string[]): string =>
    row
      .map((cell, i) => {
        const space = " ".repeat(widths[i]! - columnsOf(cell));
        return align[i] === "right" ? space + cell : cell + space;
      })
      .join("  ")
      .trimEnd();
  const rule = widths.map((width) => "-".repeat(width)).join("  ");
  return [...titles.map(line), rule, ...rows.map(line)].map((text) => `  ${text}`);
}

/** The head line by line: shorter headings stand at the bottom. */
function headLines(head: readonly string[]): readonly (readonly string[])[] {
  const split = head.map((title) => title.split("\n"));
  const most = Math.max(...split.map((lines) => lines.length));
  return Array.from({ length: most }, (_, k) =>
    split.map((lines) => lines[k - most + lines.length] ?? ""),
  );
}
