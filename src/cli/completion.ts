import type { Command } from "commander";
import { type Register, UnusableInput } from "./command.ts";
import { type CommandWords, completionScript, isShell, shells } from "./completion-script.ts";
import { helpText } from "./help-text.ts";

const example = `
Prints a script by which the shell completes commands, options and file names. Put it where the
shell looks for such scripts, or read it in as the shell starts.

Examples:
  $ dropwise completion bash
  $ dropwise completion zsh
  $ dropwise completion fish
`;

/** `dropwise completion`: what the shell completes, told from the commands themselves. */
export const registerCompletion: Register = (program, io) => {
  program
    .command("completion")
    .description("A script by which bash, zsh or fish completes commands and options.")
    .argument("<shell>", shells.join(", "))
    .addHelpText("after", helpText(example))
    .action((shell: string) => {
      if (!isShell(shell))
        throw new UnusableInput(`the shell is '${shell}': one of ${shells.join(", ")}`);
      io.out(completionScript(shell, program.commands.map(wordsOf)));
    });
};

/** A command's words; of one with commands of its own, theirs too. */
function wordsOf(command: Command): CommandWords {
  const own = command.commands;
  const options = [command, ...own].flatMap((one) => one.options);
  const byName = new Map(options.map((option) => [option.long ?? "", option]));
  byName.delete("");
  return {
    name: command.name(),
    about: command.description(),
    commands: own.map((one) => ({ name: one.name(), about: one.description() })),
    options: [...byName].map(([name, { description, required, optional }]) => ({
      name,
      about: description,
      takesValue: required || optional,
    })),
  };
}
