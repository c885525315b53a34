/** A sheet's header row, and where the rows behind it start. */
export interface SheetHeader {
  readonly text: string;
  /** Line of the header, from 1. */
  readonly line: number;
  /** All text behind the header. */
  readonly rest: string;
}

/**
 * The first line with something in it. Blank lines before it are passed over, and so are a
 * byte-order mark and the `sep=;` line that some spreadsheets put first.
 *
 * Null where no line is complete yet; with `last`, the text's end completes one.
 */
export function sheetHeader(text: string, last: boolean): SheetHeader | null {
  let line = 1;
  let start = 0;
  for (const found of text.matchAll(/\r\n|\n|\r(?!$)|$/g)) {
    const isEnd = found[0] === "";
    if (isEnd && !last) return null;
    const header = text.slice(start, found.index).replace(/^\uFEFF/, "");
    start = found.index + found[0].length;
    if (header.trim() !== "" && !/^sep=.$/i.test(header.trim())) {
      return { text: header, line, rest: text.slice(start) };
    }
    line += 1;
  }
  return null;
}
