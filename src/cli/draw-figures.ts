import type { Chart } from "../report/charts/theme.ts";
import type { DottedFigure, DrawnFigure, Pictures } from "../report/document.ts";
import { type Keeper, noKeeper, type Question } from "../rooms/season-room.ts";
import { UnusableInput } from "./command.ts";

/** Dots of a PNG to a unit of its SVG: sharp on paper at the size at which it is printed. */
const SHARPNESS = 2;

/** What draws in dots: heavy, so loaded where something is drawn, and one part of it may be left out. */
const dotter = () =>
  import("./render.ts").catch((error: unknown) => {
    if (error instanceof Error && /Cannot find .*@resvg/.test(error.message))
      throw new UnusableInput(
        "pictures are drawn by the package @resvg/resvg-js, which is not installed: npm install @resvg/resvg-js",
      );
    throw error;
  });

/** One chart drawn, unless it was drawn before. */
async function drawFigure({ spec }: Chart, keeper: Keeper): Promise<DrawnFigure> {
  const question: Question = { what: "picture", walk: null, from: [spec] };
  const known = keeper.known<DrawnFigure>(question);
  if (known !== undefined) return known;
  const { renderBoth, sizeOf } = await import("../report/charts/render-svg.ts");
  const both = await renderBoth(spec);
  const drawn = { ...both, ...sizeOf(both.svg) };
  keeper.keep(question, drawn);
  return drawn;
}

/** Every chart of a document. */
export async function drawFigures(
  charts: readonly Chart[],
  keeper: Keeper = noKeeper,
): Promise<Pictures> {
  const drawn = new Map<string, DrawnFigure>();
  for (const chart of charts) drawn.set(chart.name, await drawFigure(chart, keeper));
  return drawn;
}

/** A drawing in dots as well; kept where it comes out so whatever else this machine has installed. */
async function inDots(drawn: DrawnFigure, keeper: Keeper): Promise<DottedFigure> {
  const { svg } = drawn;
  const question: Question = { what: "picture", walk: null, from: [svg, SHARPNESS] };
  const known = keeper.known<Uint8Array>(question);
  if (known !== undefined) return { ...drawn, png: known };
  const { needsSystemFonts, renderPng } = await dotter();
  const png = renderPng(svg, SHARPNESS).data;
  if (!needsSystemFonts(svg)) keeper.keep(question, png);
  return { ...drawn, png };
}

/** The same of every drawing. */
export async function dottedFigures(
  pictures: Pictures,
  keeper: Keeper = noKeeper,
): Promise<Pictures<DottedFigure>> {
  const dotted = new Map<string, DottedFigure>();
  for (const [name, drawn] of pictures) dotted.set(name, await inDots(drawn, keeper));
  return dotted;
}
