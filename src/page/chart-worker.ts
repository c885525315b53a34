import { parse, View } from "vega";
import { expressionInterpreter } from "vega-interpreter";
import { compileChart } from "../report/charts/render-svg.ts";
import { useFontWidths } from "../report/charts/text-width.ts";
import type { ChartSpec } from "../report/charts/theme.ts";
import { chartsOf, type DrawnFigure } from "../report/document.ts";
import { type ReportInput, reportDocument } from "../report/html-report.ts";
import { writeHtml } from "../report/write-html.ts";

/**
 * The worker that writes reports. The chart engine is by far the largest part of the page, so it
 * stands apart from the page's own script and is started when somebody asks for a report.
 */

/** Draws a chart with an expression interpreter in place of eval, which the page's policy forbids. */
async function draw(spec: ChartSpec): Promise<DrawnFigure> {
  const runtime = parse(compileChart(spec).vega, undefined, { ast: true });
  const view = new View(runtime, { renderer: "none", expr: expressionInterpreter });
  try {
    const svg = await view.toSVG();
    const size = (name: string): number =>
      Number(new RegExp(`<svg[^>]* ${name}="([\\d.]+)"`).exec(svg)?.[1] ?? 0);
    return { svg, png: new Uint8Array(), width: size("width"), height: size("height") };
  } finally {
    view.finalize();
  }
}

async function report(input: ReportInput): Promise<string> {
  useFontWidths();
  const document = reportDocument(input);
  const pictures = new Map<string, DrawnFigure>();
  for (const { name, spec } of chartsOf(document)) pictures.set(name, await draw(spec));
  return writeHtml(document, pictures, null);
}

const port = globalThis as unknown as {
  onmessage: (event: MessageEvent<ReportInput>) => void;
  postMessage(message: { readonly html: string } | { readonly failed: string }): void;
};

port.onmessage = ({ data }) => {
  report(data).then(
    (html) => port.postMessage({ html }),
    (error: unknown) =>
      port.postMessage({ failed: error instanceof Error ? error.message : String(error) }),
  );
};
