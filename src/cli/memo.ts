import { join } from "node:path";
import { textOf } from "../report/wrap-text.ts";
import { type Register, UnusableInput } from "./command.ts";
import { helpText } from "./help-text.ts";
import { sayUsed, usualFile } from "./pool-folder.ts";
import { findSeason, type SeasonOptions, withSeasonOptions } from "./season-options.ts";
import { writeFiles } from "./store/file-set.ts";

const example = `
Example:
  $ dropwise memo --out memo

Writes memo.docx, memo.html and memo.md into the folder, with the pictures of the last. What the
facility file leaves out stands in the memo as a blank to fill in; nothing is made up.`;

interface Flags extends SeasonOptions {
  readonly facility?: string;
  readonly out?: string;
  readonly json?: true;
}

/** `dropwise memo`: the capital request, the same in three formats. */
export const registerMemo: Register = (program, io) => {
  withSeasonOptions(program.command("memo"))
    .description("Write the capital request: Word, HTML and Markdown.")
    .option(
      "--facility <file>",
      "the facility's own words (default: the pool's facility.yaml, if there)",
    )
    .option("--out <folder>", "write into this folder (memo.docx, memo.html, memo.md)")
    .option("--json", "print the answer as JSON (options and request)")
    .addHelpText("after", helpText(example))
    .action(async (files: string[], flags: Flags) => {
      if (flags.out === undefined && !flags.json)
        throw new UnusableInput("memo needs --out, the folder to write into, or --json");
      // Loaded here and not above: the drawing libraries are heavy, and other commands do without.
      const { makeMemo, memoAsJson } = await import("./make-memo.ts");
      const season = await findSeason(files, flags, io);
      const facility = await usualFile(season.folder, flags.facility, "facility.yaml");
      sayUsed(season.folder, io);
      if (flags.json) io.out(await memoAsJson(season, facility, io.note));
      if (flags.out === undefined) return;
      const memo = await makeMemo(season, facility, season.progress, io);
      writeFiles(flags.out, memo.files, io.keeper);
      if (!flags.json) io.out(textOf([`${join(flags.out, "memo.docx")}: ${memo.request}`]));
    });
};
