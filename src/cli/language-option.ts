import type { Command } from "commander";
import { textOf } from "../report/wrap-text.ts";
import { isLanguage, type Language, languageCodes, wordsIn } from "../words/language.ts";
import { type Io, UnusableInput } from "./command.ts";

/** The commands whose answer has words in every language; the others say that they have English alone. */
const speaking: ReadonlySet<string> = new Set(["check", "next", "decide", "ready"]);

/**
 * Adds `--language`, which means the same to every command, and tells them by `Io.language` what was
 * chosen. Neither LANG nor LC_MESSAGES is asked: one command line prints one answer wherever it runs.
 *
 * @param named what `DROPWISE_LANGUAGE` says, where nobody names a language on the command line
 */
export function withLanguage(
  program: Command,
  io: Omit<Io, "language">,
  named: string | undefined,
): Io {
  const codes = languageCodes.join(", ");
  program.option(
    "--language <code>",
    `the answer's language: ${codes} (default: DROPWISE_LANGUAGE, else en)`,
  );
  const chosen = (): Language => {
    const option = program.opts<{ language?: string }>().language;
    const code = option ?? (named || "en");
    if (isLanguage(code)) return code;
    const where = option === undefined ? "DROPWISE_LANGUAGE" : "--language";
    throw new UnusableInput(`${where} is '${code}': one of ${codes}`);
  };
  program.hook("preAction", (_, command) => {
    const language = chosen();
    const isData = command.opts<{ json?: boolean }>().json === true;
    if (language === "en" || isData || speaking.has(command.name())) return;
    io.note(textOf([wordsIn(language).command.onlyEnglish(command.name())]));
  });
  return {
    ...io,
    get language() {
      return chosen();
    },
  };
}
