/** How text is dressed for a terminal. */
export interface Style {
  /** Escape codes are wanted: a terminal, and NO_COLOR is not set. */
  readonly colour: boolean;
}

const CODES = { bold: "1", red: "31" } as const;

/** The text in this dress, or as it is where no colour is wanted. */
export const paint = (text: string, dress: keyof typeof CODES, style: Style): string =>
  style.colour ? `\u001b[${CODES[dress]}m${text}\u001b[0m` : text;

/** Columns as wide as their widest cell, two spaces between, a rule under the head. */
export function tableText(
  head: readonly string[],
  rows: readonly (readonly string[])[],
  align: readonly ("left" | "right")[],
): readonly string[] {
  const widths = head.map((title, i) =>
    Math.max(...[title, ...rows.map((row) => row[i] ?? "")].map(cells)),
  );
  const line = (row: readonly string[]): string =>
    row
      .map((cell, i) => {
        const space = " ".repeat(widths[i]! - cells(cell));
        return align[i] === "right" ? space + cell : cell + space;
      })
      .join("  ")
      .trimEnd();
  return [line(head), widths.map((width) => "-".repeat(width)).join("  "), ...rows.map(line)].map(
    (text) => `  ${text}`,
  );
}

/** How many columns of a terminal a text takes: combining marks none. */
const cells = (text: string): number => [...text.replace(/\p{M}/gu, "")].length;
