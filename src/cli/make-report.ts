import { chartsOf, type Document, plain } from "../report/document.ts";
import { reportDocument } from "../report/html-report.ts";
import { reportJson } from "../report/report-json.ts";
import { writeHtml } from "../report/write-html.ts";
import { decideSeason } from "../rooms/policy-room.ts";
import type { Keeper, SeasonProgress } from "../rooms/season-room.ts";
import { chartRuntime } from "./chart-runtime.ts";
import { dottedFigures, drawFigures } from "./draw-figures.ts";
import { reportInput } from "./report-input.ts";
import type { SeasonFiles } from "./season-files.ts";
import type { OutputFile } from "./store/file-set.ts";

const documentOf = (files: SeasonFiles, progress: SeasonProgress): Document =>
  reportDocument(reportInput(files, decideSeason(files.season, progress)));

/** What the report says, as data. */
export function reportAsJson(files: SeasonFiles, progress: SeasonProgress): string {
  const said = decideSeason(files.season, progress);
  return reportJson(files.season, said, files.rejects);
}

/** The report of some files as one HTML text, and its verdict. */
export async function makeReport(
  season: SeasonFiles,
  still: boolean,
  progress: SeasonProgress,
  keeper: Keeper,
): Promise<{ readonly html: string; readonly verdict: string }> {
  const document = documentOf(season, progress);
  const pictures = await drawFigures(chartsOf(document), keeper);
  const html = await writeHtml(document, pictures, still ? null : chartRuntime());
  const verdict = document.blocks.find((one) => one.kind === "verdict");
  return { html, verdict: verdict === undefined ? document.title : plain(verdict.line) };
}

/** Each chart of the report of some files: its three files and what it found. */
export async function* makeCharts(
  season: SeasonFiles,
  progress: SeasonProgress,
  keeper: Keeper,
): AsyncGenerator<{ readonly name: string; readonly finding: string; files: OutputFile[] }> {
  for (const chart of chartsOf(documentOf(season, progress))) {
    const { name, finding, spec } = chart;
    const { svg, png } = (await dottedFigures(await drawFigures([chart], keeper), keeper)).get(
      name,
    )!;
    const files = [
      { name: `${name}.svg`, content: svg },
      { name: `${name}.png`, content: png },
      { name: `${name}.vl.json`, content: `${JSON.stringify(spec, null, 2)}\n` },
    ];
    yield { name, finding, files };
  }
}
