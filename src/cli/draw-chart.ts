import { renderBoth } from "../report/charts/render-svg.ts";
import type { Chart } from "../report/charts/theme.ts";
import type { DrawnFigure } from "../report/document.ts";
import { needsSystemFonts, renderPng } from "./render.ts";

/** Dots of a PNG to a unit of its SVG: sharp on paper at the size at which it is printed. */
const sharpness = 2;

/** Draws one chart both ways. `lasts`: it comes out so whatever else this machine has installed. */
export async function drawChart({
  spec,
}: Chart): Promise<{ readonly drawn: DrawnFigure; readonly lasts: boolean }> {
  const { svg, live } = await renderBoth(spec);
  const { data: png, ...dots } = renderPng(svg, sharpness);
  const [width, height] = [dots.width / sharpness, dots.height / sharpness];
  return { drawn: { svg, png, width, height, live }, lasts: !needsSystemFonts(svg) };
}
