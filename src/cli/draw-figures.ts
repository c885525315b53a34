import type { Chart } from "../report/charts/theme.ts";
import type { DrawnFigure, Pictures } from "../report/document.ts";
import { type Keeper, noKeeper, type Question } from "../rooms/season-room.ts";

/** One chart drawn both ways, unless it was drawn before. */
export async function drawFigure(chart: Chart, keeper: Keeper = noKeeper): Promise<DrawnFigure> {
  const question: Question = { what: "picture", walk: null, from: [chart.spec] };
  const known = keeper.known<DrawnFigure>(question);
  if (known !== undefined) return known;
  // Loaded here and not above: the drawing libraries are heavy.
  const { drawChart } = await import("./draw-chart.ts");
  const { drawn, lasts } = await drawChart(chart);
  if (lasts) keeper.keep(question, drawn);
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
