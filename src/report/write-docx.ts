import {
  AlignmentType,
  BorderStyle,
  type FileChild,
  HeadingLevel,
  ImageRun,
  LevelFormat,
  Packer,
  Paragraph,
  Table,
  TableCell,
  TableRow,
  TextRun,
  WidthType,
  Document as WordDocument,
} from "docx";
import {
  type Block,
  blankText,
  type Document,
  type DottedFigure,
  type Figure,
  type Line,
  type Pictures,
  plain,
  type Run,
  type Table as TableBlock,
} from "./document.ts";

/** Papers by name: width and height in twentieths of a point. */
const papers = { A4: [11906, 16838], Letter: [12240, 15840] } as const;
export type Paper = keyof typeof papers;

/** Margin on all sides, 1.9 cm, in twentieths of a point. */
const margin = 1077;
/** Text size in half points, as the format counts. */
const textSize = 19;
const font = "DejaVu Sans";
const numberedList = "numbered";

const textRun = (one: Run, size?: number): TextRun => {
  const common = size === undefined ? {} : { size };
  if (typeof one === "string") return new TextRun({ text: one, ...common });
  if ("strong" in one) return new TextRun({ text: one.strong, bold: true, ...common });
  return new TextRun({ text: blankText(one.blank), highlight: "lightGray", ...common });
};

const runs = (line: Line, size?: number): TextRun[] => line.map((one) => textRun(one, size));

const thin = { style: BorderStyle.SINGLE, size: 4, color: "999999" };
const none = { style: BorderStyle.NONE, size: 0, color: "auto" };

function tableBlock(block: TableBlock, textWidth: number): FileChild[] {
  const total = block.columns.reduce((sum, one) => sum + one.share, 0);
  const columnWidths = block.columns.map((one) => Math.floor((textWidth * one.share) / total));
  const cell = (line: Line, index: number, header: boolean): TableCell =>
    new TableCell({
      width: { size: columnWidths[index] ?? 0, type: WidthType.DXA },
      margins: { top: 20, bottom: 20, left: 60, right: 60 },
      borders: {
        top: none,
        left: none,
        right: none,
        bottom: header ? { ...thin, size: 12, color: "1A1A1A" } : thin,
      },
      children: [
        new Paragraph({
          alignment:
            block.columns[index]?.align === "right" ? AlignmentType.RIGHT : AlignmentType.LEFT,
          spacing: { after: 0 },
          children: header
            ? [new TextRun({ text: plain(line), bold: true, size: 16 })]
            : runs(line, 16),
        }),
      ],
    });
  const head = new TableRow({
    tableHeader: true,
    children: block.columns.map((one, index) => cell([one.title], index, true)),
  });
  const rows = block.rows.map(
    (cells) =>
      new TableRow({
        cantSplit: true,
        children: cells.map((one, index) => cell(one, index, false)),
      }),
  );
  return [
    new Paragraph({
      keepNext: true,
      spacing: { before: 80, after: 40 },
      children: [new TextRun({ text: block.caption, bold: true, size: 17 })],
    }),
    new Table({
      columnWidths,
      width: { size: textWidth, type: WidthType.DXA },
      rows: [head, ...rows],
    }),
    new Paragraph({ spacing: { after: 40 }, children: [] }),
  ];
}

/** Twentieths of a point to pixels at 96 to the inch. */
const pixels = (twips: number): number => twips / 15;

function figureBlock(
  block: Figure,
  pictures: Pictures<DottedFigure>,
  textWidth: number,
): FileChild[] {
  const { name, alt, finding } = block.chart;
  const picture = pictures.get(name);
  if (picture === undefined) throw new Error(`no picture of ${name}`);
  const width = Math.round(pixels(textWidth) * block.share);
  const height = Math.round((width * picture.height) / picture.width);
  return [
    new Paragraph({
      keepNext: true,
      spacing: { before: 60, after: 20 },
      children: [
        new ImageRun({
          type: "svg",
          data: new TextEncoder().encode(picture.svg) as never,
          fallback: { type: "png", data: picture.png as never },
          transformation: { width, height },
          altText: { title: finding, description: alt, name },
        }),
      ],
    }),
    new Paragraph({
      spacing: { after: 80 },
      children: [new TextRun({ text: block.caption, italics: true, size: 16 })],
    }),
  ];
}

const headings = {
  1: HeadingLevel.HEADING_1,
  2: HeadingLevel.HEADING_2,
  3: HeadingLevel.HEADING_3,
};

function blockChildren(
  block: Block,
  pictures: Pictures<DottedFigure>,
  textWidth: number,
  listNumber: number,
): FileChild[] {
  switch (block.kind) {
    case "heading":
      return [
        new Paragraph({
          heading: headings[block.level],
          keepNext: true,
          children: [new TextRun(block.text)],
        }),
      ];
    case "paragraph":
      return [new Paragraph({ children: runs(block.line) })];
    case "verdict": {
      const edge = { style: BorderStyle.SINGLE, size: 12, color: "1A1A1A", space: 4 };
      const border = { top: edge, bottom: edge, left: edge, right: edge };
      return [
        new Paragraph({ border, children: [new TextRun({ text: plain(block.line), bold: true })] }),
      ];
    }
    case "list":
      return block.items.map(
        (item) =>
          new Paragraph({
            spacing: { after: 30 },
            children: runs(item),
            ...(block.ordered
              ? { numbering: { reference: numberedList, level: 0, instance: listNumber } }
              : { bullet: { level: 0 } }),
          }),
      );
    case "fields":
      return block.rows.map(
        ([name, value]) =>
          new Paragraph({
            spacing: { after: 0 },
            tabStops: [{ type: "left", position: 1300 }],
            indent: { left: 1300, hanging: 1300 },
            children: [new TextRun({ text: `${name}:\t`, bold: true }), ...runs(value)],
          }),
      );
    case "caution":
      return block.items.map(
        (item) =>
          new Paragraph({
            border: { left: { style: BorderStyle.DOUBLE, size: 8, color: "1A1A1A", space: 6 } },
            spacing: { after: 40 },
            children: [
              new TextRun({ text: "Caution. ", bold: true, size: 16 }),
              new TextRun({ text: item, size: 16 }),
            ],
          }),
      );
    case "table":
      return tableBlock(block, textWidth);
    case "figure":
      return figureBlock(block, pictures, textWidth);
    case "page-break":
      return [new Paragraph({ pageBreakBefore: true, spacing: { after: 0 }, children: [] })];
  }
}

const styles = {
  default: {
    document: { run: { font, size: textSize }, paragraph: { spacing: { after: 80 } } },
    title: { run: { font, size: 30, bold: true }, paragraph: { spacing: { after: 80 } } },
    heading1: { run: { font, size: 28, bold: true, color: "1A1A1A" } },
    heading2: {
      run: { font, size: 22, bold: true, color: "1A1A1A" },
      paragraph: { spacing: { before: 140, after: 50 } },
    },
    heading3: {
      run: { font, size: 20, bold: true, color: "1A1A1A" },
      paragraph: { spacing: { before: 100, after: 40 } },
    },
  },
};

const numbering = {
  config: [
    {
      reference: numberedList,
      levels: [
        {
          level: 0,
          format: LevelFormat.DECIMAL,
          text: "%1.",
          alignment: AlignmentType.START,
          style: { paragraph: { indent: { left: 400, hanging: 400 } } },
        },
      ],
    },
  ],
};

/** A document as a Word file: text, tables with their widths, pictures as SVG with a PNG behind. */
export async function writeDocx(
  document: Document,
  pictures: Pictures<DottedFigure>,
  paper: Paper,
): Promise<Uint8Array> {
  const [width, height] = papers[paper];
  const textWidth = width - 2 * margin;
  const letterhead = document.letterhead.map(
    (one) => new Paragraph({ spacing: { after: 0 }, children: runs(one, 17) }),
  );
  const children = [
    ...letterhead,
    new Paragraph({ heading: HeadingLevel.TITLE, children: [new TextRun(document.title)] }),
    ...document.blocks.flatMap((block, index) => blockChildren(block, pictures, textWidth, index)),
  ];
  const page = {
    size: { width, height },
    margin: { top: margin, bottom: margin, left: margin, right: margin },
  };
  const file = new WordDocument({
    title: document.title,
    styles,
    numbering,
    sections: [{ properties: { page }, children }],
  });
  return new Uint8Array(await Packer.toBuffer(file));
}
