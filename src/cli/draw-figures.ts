import type { Chart } from "../report/charts/theme.ts";
import type { DrawnFigure, Pictures } from "../report/document.ts";
import { type Keeper, noKeeper, type Question } from "../rooms/season-room.ts";
import { UnusableInput } from "./command.ts";

/** The drawing libraries: heavy, so loaded where something is drawn, and one of them may be left out. */
const drawer = () =>
  import("./draw-chart.ts").catch((error: unknown) => {
    if (error instanceof Error && /Cannot find .*@resvg/.test(error.message))
      throw new UnusableInput(
        "pictures are drawn by the package @resvg/resvg-js, which is not installed: npm install @resvg/resvg-js",
      );
    throw error;
  });

/** One chart drawn both ways, unless it was drawn before. */
export async function drawFigure(chart: Chart, keeper: Keeper = noKeeper): Promise<DrawnFigure> {
  const question: Question = { what: "picture", walk: null, from: [chart.spec] };
  const known = keeper.known<DrawnFigure>(question);
  if (known !== undefined) return known;
  const { drawChart } = await drawer();
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
