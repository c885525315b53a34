import { Command } from "commander";
import { UnusableInput } from "../../src/cli/command.ts";
import { registerLog, registerUndo } from "../../src/cli/log.ts";

/** `log` and `undo` alone, to be bundled and run in processes of their own. */
const program = new Command("dropwise");
const io = {
  out: () => {},
  err: () => {},
  colour: false,
  progress: false,
  exit: (status: 0 | 1 | 2) => {
    process.exitCode = status;
  },
};
registerLog(program, io);
registerUndo(program, io);
try {
  await program.parseAsync();
} catch (error) {
  if (!(error instanceof UnusableInput)) throw error;
  process.exitCode = 2;
}
