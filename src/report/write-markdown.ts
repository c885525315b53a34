import {
  type Block,
  blankText,
  type Document,
  type Line,
  type Run,
  type Table,
} from "./document.ts";

/** Characters that Markdown or the HTML inside it would read as markup. */
const escapeText = (text: string): string =>
  text.replace(/([\\`*_{}[\]<>#|~&])/g, "\\$1").replace(/\s+/g, " ");

/** What opens a list or a heading only at the start of a line: `- `, `+ `, `1. `, `1) `. */
const escapeStart = (text: string): string =>
  text.replace(/^(\s*)([-+=])/, "$1\\$2").replace(/^(\s*\d+)([.)])/, "$1\\$2");

/** Blanks at either end stay outside: `**so: **` is no emphasis in Markdown. */
function strong(text: string): string {
  const [before, after] = [/^\s*/.exec(text)![0], /\s*$/.exec(text)![0]];
  return `${before}**${escapeText(text.trim())}**${after}`;
}

const run = (one: Run): string => {
  if (typeof one === "string") return escapeText(one);
  if ("strong" in one) return strong(one.strong);
  return escapeText(blankText(one.blank));
};

const line = (runs: Line): string => runs.map(run).join("");

const row = (cells: readonly string[]): string => `| ${cells.join(" | ")} |`;

function tableText(block: Table): string {
  const marks = block.columns.map((one) => (one.align === "right" ? "---:" : "---"));
  return [
    `**${escapeText(block.caption)}**`,
    "",
    row(block.columns.map((one) => escapeText(one.title))),
    row(marks),
    ...block.rows.map((cells) => row(cells.map(line))),
  ].join("\n");
}

function blockText(block: Block, pictureFolder: string): string {
  switch (block.kind) {
    case "heading":
      return `${"#".repeat(block.level + 1)} ${escapeText(block.text)}`;
    case "paragraph":
      return escapeStart(line(block.line));
    case "verdict":
      return `> ${line(block.line)}`;
    case "list":
      return block.items
        .map((item, index) => `${block.ordered ? `${index + 1}.` : "-"} ${line(item)}`)
        .join("\n");
    case "fields":
      return block.rows
        .map(([name, value]) => `**${escapeText(name)}:** ${line(value)}  `)
        .join("\n");
    case "caution":
      return block.items.map((item) => `> **Caution.** ${escapeText(item)}`).join("\n>\n");
    case "table":
      return tableText(block);
    case "figure":
      return `![${escapeText(block.chart.alt)}](${pictureFolder}${block.chart.name}.svg)\n\n*${escapeText(block.caption)}*`;
    case "page-break":
      return "---";
  }
}

/**
 * A document as Markdown (CommonMark with pipe tables).
 *
 * @param pictureFolder where the pictures lie as seen from the file, with a slash; empty: beside it
 */
export function writeMarkdown(document: Document, pictureFolder = ""): string {
  const parts = [
    ...(document.letterhead.length === 0 ? [] : [document.letterhead.map(line).join("  \n")]),
    `# ${escapeText(document.title)}`,
    ...document.blocks.map((block) => blockText(block, pictureFolder)),
  ];
  return `${parts.join("\n\n")}\n`;
}
