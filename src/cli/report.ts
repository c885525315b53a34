import { basename, dirname } from "node:path";
import { textOf } from "../report/wrap-text.ts";
import { type Register, UnusableInput } from "./command.ts";
import { helpText } from "./help-text.ts";
import { findSeason, type SeasonOptions, withSeasonOptions } from "./season-options.ts";
import { writeFiles } from "./store/file-set.ts";

const example = `
Example:
  $ dropwise report --out report.html

The file needs nothing beside it and no network. The verdict is about the latest walk.`;

interface ReportOptions extends SeasonOptions {
  readonly out?: string;
  readonly still?: true;
  readonly json?: true;
}

/** `dropwise report`: one self-contained HTML file. */
export const registerReport: Register = (program, io) => {
  withSeasonOptions(program.command("report"))
    .description("Write the report: one HTML file that opens offline.")
    .option("--out <file>", "write into this file (HTML)")
    .option("--json", "print the answer as JSON (what check, trend and decide say)")
    .option("--still", "leave the interactive charts out: a small file with still pictures")
    .addHelpText("after", helpText(example))
    .action(async (files: string[], options: ReportOptions) => {
      if (options.out === undefined && !options.json)
        throw new UnusableInput("report needs --out, the file to write, or --json");
      // Loaded here and not above: the drawing libraries are heavy, and other commands do without.
      const { makeReport, reportAsJson } = await import("./make-report.ts");
      const season = await findSeason(files, options, io);
      if (options.json) io.out(reportAsJson(season, season.progress));
      if (options.out === undefined) return;
      const still = options.still === true;
      const { html, verdict } = await makeReport(season, still, season.progress, io.keeper);
      const file = { name: basename(options.out), content: html };
      writeFiles(dirname(options.out), [file], io.keeper);
      if (!options.json) io.out(textOf([`${options.out}: ${verdict}`]));
    });
};
