import { parse, View } from "vega";
import { expressionInterpreter } from "vega-interpreter";
import { compileChart, sizeOf, withWords } from "../report/charts/render-svg.ts";
import { useFontWidths } from "../report/charts/text-width.ts";
import type { ChartSpec } from "../report/charts/theme.ts";
import { chartsOf, type DrawnFigure } from "../report/document.ts";
import { type ReportInput, reportDocument } from "../report/html-report.ts";
import { memoDocument } from "../report/memo.ts";
import type { MemoInput } from "../report/memo-input.ts";
import { writeHtml } from "../report/write-html.ts";
import { writeMarkdown } from "../report/write-markdown.ts";
import type { OutFile } from "./save-file.ts";

/**
 * The worker that writes reports and memos. The chart engine is by far the largest part of the page,
 * so it stands apart from the page's own script and is started when somebody asks for a document.
 */

/** A document to write, and the name of its files without the ending. */
export type DocumentQuestion = { readonly name: string } & (
  | { readonly report: ReportInput }
  | { readonly memo: MemoInput }
);
export type DocumentAnswer = { readonly files: readonly OutFile[] } | { readonly failed: string };

/** Draws a chart with an expression interpreter in place of eval, which the page's policy forbids. */
async function draw(spec: ChartSpec): Promise<DrawnFigure> {
  const runtime = parse(compileChart(spec).vega, undefined, { ast: true });
  const view = new View(runtime, { renderer: "none", expr: expressionInterpreter });
  try {
    const svg = withWords(await view.toSVG(), spec);
    return { svg, ...sizeOf(svg) };
  } finally {
    view.finalize();
  }
}

const file = (name: string, type: string, content: string): OutFile => ({ name, type, content });

async function documentFiles(question: DocumentQuestion): Promise<readonly OutFile[]> {
  useFontWidths();
  const { name } = question;
  const document =
    "memo" in question ? memoDocument(question.memo) : reportDocument(question.report);
  const pictures = new Map<string, DrawnFigure>();
  for (const chart of chartsOf(document)) pictures.set(chart.name, await draw(chart.spec));
  const html = file(`${name}.html`, "text/html", await writeHtml(document, pictures, null));
  if (!("memo" in question)) return [html];
  return [
    html,
    file(`${name}.md`, "text/markdown", writeMarkdown(document)),
    ...[...pictures].map(([picture, { svg }]) => file(`${picture}.svg`, "image/svg+xml", svg)),
  ];
}

const port = globalThis as unknown as {
  onmessage: (event: MessageEvent<DocumentQuestion>) => void;
  postMessage(message: DocumentAnswer): void;
};

port.onmessage = ({ data }) => {
  documentFiles(data).then(
    (files) => port.postMessage({ files }),
    (error: unknown) =>
      port.postMessage({ failed: error instanceof Error ? error.message : String(error) }),
  );
};
