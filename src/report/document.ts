import type { Chart } from "./charts/theme.ts";

/**
 * A document as data: what it says, apart from how a file format writes it down. The report and the
 * memo are built as this, and the HTML, Word and Markdown writers each know nothing but this.
 * Texts are plain: every writer escapes them, so a lane's name can hold any character.
 */

/** A run of text. */
export type Run =
  | string
  | { readonly strong: string }
  /** Something that nobody told us: printed as a visible blank with the name of what is missing. */
  | { readonly blank: string };

/** Runs that form one line or paragraph. */
export type Line = readonly Run[];

/** One column of a table. */
export interface Column {
  readonly title: string;
  readonly align: "left" | "right";
  /** Share of the table's width; the shares need not sum to one. */
  readonly share: number;
}

export interface Table {
  readonly kind: "table";
  readonly caption: string;
  readonly columns: readonly Column[];
  readonly rows: readonly (readonly Line[])[];
}

/** A chart with its caption. Its picture is drawn later, by whoever writes the file. */
export interface Figure {
  readonly kind: "figure";
  readonly chart: Chart;
  readonly caption: string;
  /** Share of the text's width that the picture takes, at most 1. */
  readonly share: number;
}

export type Block =
  | { readonly kind: "heading"; readonly level: 1 | 2 | 3; readonly text: string }
  | { readonly kind: "paragraph"; readonly line: Line }
  /** The one sentence that a reader in a hurry takes away. */
  | { readonly kind: "verdict"; readonly line: Line }
  | { readonly kind: "list"; readonly ordered: boolean; readonly items: readonly Line[] }
  /** Names and values, one a row, as in the head of a memo. */
  | { readonly kind: "fields"; readonly rows: readonly (readonly [name: string, value: Line])[] }
  | { readonly kind: "caution"; readonly items: readonly string[] }
  | Table
  | Figure
  | { readonly kind: "page-break" };

/** A whole document. */
export interface Document {
  readonly title: string;
  /** Lines of the sender's letterhead; empty where there is none. */
  readonly letterhead: readonly Line[];
  readonly blocks: readonly Block[];
}

/** A figure's picture, drawn. */
export interface DrawnFigure {
  readonly svg: string;
  /** Size of the drawing [px at 96 to the inch]. */
  readonly width: number;
  readonly height: number;
  /** The chart as a page draws it live, a Vega specification as JSON; left out where none does. */
  readonly live?: string;
}

/** The same in dots as well, for what may show no SVG. */
export interface DottedFigure extends DrawnFigure {
  readonly png: Uint8Array;
}

/** Pictures by the name of their chart. */
export type Pictures<Picture extends DrawnFigure = DrawnFigure> = ReadonlyMap<string, Picture>;

export const heading = (level: 1 | 2 | 3, text: string): Block => ({
  kind: "heading",
  level,
  text,
});
export const paragraph = (...line: Line): Block => ({ kind: "paragraph", line });
export const list = (items: readonly Line[], ordered = false): Block => ({
  kind: "list",
  ordered,
  items,
});
export const figure = (chart: Chart, caption: string, share = 1): Block => ({
  kind: "figure",
  chart,
  caption,
  share,
});

/** A table from texts: each cell becomes one plain run. */
export const table = (
  caption: string,
  columns: readonly Column[],
  rows: readonly (readonly string[])[],
): Block => ({
  kind: "table",
  caption,
  columns,
  rows: rows.map((row) => row.map((cell) => [cell])),
});

export const column = (title: string, share: number, align: "left" | "right" = "left"): Column => ({
  title,
  align,
  share,
});

/** Longest name of a chart: with an ending it is a file's name, 255 bytes at most [bytes of UTF-8]. */
const longestName = 120;

function shortened(name: string): string {
  let bytes = 0;
  let short = "";
  for (const letter of name) {
    bytes += new TextEncoder().encode(letter).length;
    if (bytes > longestName) return short;
    short += letter;
  }
  return name;
}

/**
 * Blocks whose charts have names of their own, short enough for a file: a picture is kept by its
 * chart's name, and of two with one name the report would show one twice. The later one gets a number.
 */
export function distinctCharts(blocks: readonly Block[]): readonly Block[] {
  const taken = new Map<string, Chart>();
  const named = (chart: Chart): Chart => {
    const base = shortened(chart.name);
    for (let n = 1; ; n++) {
      const name = n === 1 ? base : `${base}-${n}`;
      const other = taken.get(name);
      if (other === undefined) taken.set(name, chart);
      if (other === undefined || other === chart) return { ...chart, name };
    }
  };
  return blocks.map((block) =>
    block.kind === "figure" ? { ...block, chart: named(block.chart) } : block,
  );
}

/** The charts of a document, each once, in order. */
export function chartsOf(document: Document): readonly Chart[] {
  const byName = new Map<string, Chart>();
  for (const block of document.blocks)
    if (block.kind === "figure") byName.set(block.chart.name, block.chart);
  return [...byName.values()];
}

/** How a blank is printed where there is nothing but text: `[to: ________]`. */
export const blankText = (name: string): string => `[${name}: ________]`;

/** A line as plain text. */
export const plain = (line: Line): string =>
  line
    .map((run) =>
      typeof run === "string" ? run : "strong" in run ? run.strong : blankText(run.blank),
    )
    .join("");

/** Paragraphs as plain texts, in order. */
export const paragraphTexts = (document: Document): readonly string[] =>
  document.blocks.flatMap((block) => (block.kind === "paragraph" ? [plain(block.line)] : []));
