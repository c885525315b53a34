import { join } from "node:path";
import { textOf } from "../report/wrap-text.ts";
import type { Register } from "./command.ts";
import { helpText } from "./help-text.ts";
import { findSeason, type SeasonOptions, withSeasonOptions } from "./season-options.ts";
import { FileSet } from "./store/file-set.ts";

const example = `
Example:
  $ dropwise charts --out charts
  writes each chart three times: NAME.svg, NAME.png and its specification NAME.vl.json.`;

/** `dropwise charts`: every chart of the report as files. */
export const registerCharts: Register = (program, io) => {
  withSeasonOptions(program.command("charts"))
    .description("Draw the charts: each as SVG, PNG and Vega-Lite specification.")
    .requiredOption("--out <folder>", "write into this folder (each as .svg, .png, .vl.json)")
    .addHelpText("after", helpText(example))
    .action(async (files: string[], options: SeasonOptions & { out: string }) => {
      // Loaded here and not above: the drawing libraries are heavy, and other commands do without.
      const { makeCharts } = await import("./make-report.ts");
      const season = await findSeason(files, options, io);
      const set = new FileSet(options.out, io.keeper);
      const lines: string[] = [];
      for await (const chart of makeCharts(season, season.progress, io.keeper)) {
        for (const { name, content } of chart.files) set.add(name, content);
        lines.push(textOf([`${join(options.out, chart.name)}.svg: ${chart.finding}`]));
      }
      set.finish();
      io.out(lines.join(""));
    });
};
