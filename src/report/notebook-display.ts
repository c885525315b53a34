import { renderSvg } from "./charts/render-svg.ts";
import type { Chart } from "./charts/theme.ts";

/** What a notebook shows for a value: contents by MIME type. */
type Bundle = Readonly<Record<string, unknown>>;

/** Notebook kernels ask a cell's last value for this method (Deno's do; others ignore it). */
const display = Symbol.for("Jupyter.display");

const shown = (bundle: Bundle): object => ({ [display]: () => bundle });

/**
 * A chart as the last expression of a notebook's cell: `await showChart(chart)`. It carries the
 * live specification for viewers that know Vega-Lite 5, the newest that they render, and a still
 * picture for all others.
 */
export async function showChart(chart: Chart): Promise<object> {
  const spec = { ...chart.spec, $schema: "https://vega.github.io/schema/vega-lite/v5.json" };
  return shown({
    "application/vnd.vegalite.v5+json": spec,
    "image/svg+xml": await renderSvg(chart.spec),
    "text/plain": chart.alt,
  });
}

/** Markdown as the last expression of a notebook's cell. */
export const showMarkdown = (markdown: string): object =>
  shown({ "text/markdown": markdown, "text/plain": markdown });
