import { type Block, type Document, plain } from "../../src/report/document.ts";

/** Every text of a document, as its reader must find it, whatever the file format. */
export function documentTexts(document: Document): string[] {
  return [document.title, ...document.letterhead.map(plain), ...document.blocks.flatMap(blockTexts)]
    .map((text) => text.replace(/\s+/g, " ").trim())
    .filter((text) => text !== "");
}

function blockTexts(block: Block): string[] {
  switch (block.kind) {
    case "heading":
      return [block.text];
    case "paragraph":
    case "verdict":
      return [plain(block.line)];
    case "list":
      return block.items.map(plain);
    case "fields":
      return block.rows.flatMap(([name, value]) => [name, plain(value)]);
    case "caution":
      return [...block.items];
    case "table":
      return [
        block.caption,
        ...block.columns.map((one) => one.title),
        ...block.rows.flat().map(plain),
      ];
    case "figure":
      return [block.caption];
    case "page-break":
      return [];
  }
}
