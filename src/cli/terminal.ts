/** The parts of the environment by which people say what their terminal can do. */
export type TerminalWords = Readonly<
  Partial<Record<"NO_COLOR" | "FORCE_COLOR" | "TERM", string | undefined>>
>;

const isSaid = (word: string | undefined): word is string => word !== undefined && word !== "";

/**
 * Whether to colour what goes to an outlet. `FORCE_COLOR` decides where it says something (0 and
 * false: no), then `NO_COLOR`, then a terminal that calls itself dumb; else a terminal has colour
 * and a pipe has none. Sources: no-color.org and force-color.org, from memory.
 */
export function wantsColour(words: TerminalWords, isTerminal: boolean): boolean {
  const force = words["FORCE_COLOR"];
  if (isSaid(force)) return force !== "0" && force !== "false";
  if (isSaid(words["NO_COLOR"])) return false;
  return isTerminal && words["TERM"] !== "dumb";
}

/** Whether a line of progress can be shown and taken away again: a dumb terminal can't. */
export const wantsProgress = ({ TERM }: TerminalWords, isTerminal: boolean): boolean =>
  isTerminal && TERM !== "dumb";
