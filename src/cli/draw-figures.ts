import { renderSvg } from "../report/charts/render-svg.ts";
import type { Chart } from "../report/charts/theme.ts";
import type { DrawnFigure, Pictures } from "../report/document.ts";
import { renderPng } from "./render.ts";

/** Dots of a PNG to a unit of its SVG: sharp on paper at the size at which it is printed. */
const sharpness = 2;

/** Draws one chart both ways. */
export async function drawFigure(chart: Chart): Promise<DrawnFigure> {
  const svg = await renderSvg(chart.spec);
  const png = renderPng(svg, sharpness);
  return { svg, png: png.data, width: png.width / sharpness, height: png.height / sharpness };
}

/** Draws every chart of a document. */
export async function drawFigures(charts: readonly Chart[]): Promise<Pictures> {
  const drawn = new Map<string, DrawnFigure>();
  for (const chart of charts) drawn.set(chart.name, await drawFigure(chart));
  return drawn;
}
