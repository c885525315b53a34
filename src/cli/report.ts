import { basename, dirname } from "node:path";
import type { Register } from "./command.ts";
import { readSeasonFiles } from "./season-files.ts";
import {
  type SeasonOptions,
  seasonPaths,
  seasonProgress,
  withSeasonOptions,
} from "./season-options.ts";
import { writeFiles } from "./store/file-set.ts";

const example = `
Example:
  dropwise report --pool pool.yaml season.csv --work work.csv --out report.html
The file needs nothing beside it and no network. The verdict is about the latest walk.`;

/** `dropwise report`: one self-contained HTML file. */
export const registerReport: Register = (program, io) => {
  withSeasonOptions(program.command("report"))
    .description("Write the report: one HTML file that opens offline.")
    .requiredOption("--out <file>", "the HTML file to write")
    .option("--still", "leave the interactive charts out: a small file with still pictures")
    .addHelpText("after", example)
    .action(async (files: string[], options: SeasonOptions & { out: string; still?: true }) => {
      // Loaded here and not above: the drawing libraries are heavy, and other commands do without.
      const { makeReport } = await import("./make-report.ts");
      const season = await readSeasonFiles(seasonPaths(files, options), io);
      const { html, verdict } = await makeReport(
        season,
        options.still === true,
        seasonProgress(io),
      );
      writeFiles(dirname(options.out), [{ name: basename(options.out), content: html }]);
      io.out(`${options.out}: ${verdict}\n`);
    });
};
