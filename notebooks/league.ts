/**
 * What the notebook on a league calls: folders made from a seed, their answers as `check --json` gives
 * them, the database that the lines go into, and the figures that `npm run bench:league` kept.
 */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parse } from "csv-parse/sync";
import { type Chart, chart, ink } from "../src/report/charts/theme.ts";
import { answerOf, lineOf } from "../tests/bench/league/answer-line.ts";
import { type LeagueFigures, measuredLines, reckonedLines } from "../tests/bench/league/figures.ts";
import { madeFolder, plainly } from "../tests/bench/league/made-folders.ts";
import { type Loaded, loadLines, questions } from "../tests/bench/league/store.ts";

export { showChart } from "../src/report/notebook-display.ts";
export { type Loaded, madeFolder, measuredLines, questions, reckonedLines };

/** The answers of the first so many folders of the league, a line each, by the plain model. */
export const linesOf = (folders: number): readonly string[] =>
  Array.from({ length: folders }, (_, index) =>
    // Node's build of csv-parse: the kernel cannot run the browser's, which is the default.
    lineOf(answerOf(plainly(madeFolder(index + 1)), { parse }).json),
  );

/** The lines in DuckDB; they pass through a file, as answers of many folders would. */
export async function inDuckDb(lines: readonly string[]): Promise<Loaded> {
  const folder = mkdtempSync(join(tmpdir(), "dropwise-league-"));
  try {
    const file = join(folder, "answers.ndjson");
    writeFileSync(file, lines.join(""));
    return await loadLines(file);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** What a run of the whole league measured. */
export const keptFigures = (): LeagueFigures =>
  JSON.parse(readFileSync(new URL("../tests/bench/league/figures.json", import.meta.url), "utf8"));

type Row = Readonly<Record<string, unknown>>;

/** Rows under their columns' names, as a terminal shows them. */
export function tableText(rows: readonly Row[]): string {
  const names = Object.keys(rows[0] ?? {});
  const lines = [names, ...rows.map((row) => names.map((name) => String(row[name])))];
  const widths = names.map((_, column) => Math.max(...lines.map((line) => line[column]!.length)));
  return lines
    .map((line) =>
      line
        .map((cell, column) => cell.padEnd(widths[column]!))
        .join("  ")
        .trimEnd(),
    )
    .join("\n");
}

/** Expected faults by class of connector. */
export function faultsChart(rows: readonly Row[], pools: number): Chart {
  const worst = rows[0]!;
  const finding = `More faults at the ${worst["point"]} than anywhere else: ${worst["expected_at_fault"]} expected`;
  return chart(
    "league",
    {
      finding,
      subtitle: `Connectors expected to be at fault, ${pools} pools of an invented league`,
      alt: `Bars of the number of connectors expected to be at fault, by class. ${finding}.`,
    },
    {
      width: 360,
      height: 120,
      data: { values: rows },
      mark: { type: "bar", color: ink.sound },
      encoding: {
        x: { field: "expected_at_fault", type: "quantitative", title: "expected at fault" },
        y: { field: "point", type: "nominal", sort: "-x", title: null },
      },
    },
  );
}
