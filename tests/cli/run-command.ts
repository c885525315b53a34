import { Command } from "commander";
import { type Register, UnusableInput } from "../../src/cli/command.ts";
import { withLanguage } from "../../src/cli/language-option.ts";
import { type Keeper, noKeeper } from "../../src/rooms/season-room.ts";

/** One command line, run in this process: what it wrote and its exit status. */
export async function runCommand(
  registers: readonly Register[],
  args: readonly string[],
  keeper: Keeper = noKeeper,
): Promise<{ out: string; err: string; status: number }> {
  const result = { out: "", err: "", status: 0 };
  const io = {
    out: (text: string) => {
      result.out += text;
    },
    err: (text: string) => {
      result.err += text;
    },
    note: (text: string) => io.err(text),
    colour: false,
    progress: false,
    keeper,
    exit: (status: 0 | 1 | 2) => {
      result.status = status;
    },
  };
  const program = new Command("dropwise")
    .configureOutput({ writeOut: io.out, writeErr: io.err })
    .exitOverride();
  const told = withLanguage(program, io, undefined);
  for (const register of registers) register(program, told);
  try {
    await program.parseAsync([...args], { from: "user" });
  } catch (error) {
    if (error instanceof UnusableInput) {
      io.err(`dropwise: ${error.message}\n`);
      io.exit(2);
    } else if (error instanceof Error && "exitCode" in error) io.exit(error.exitCode === 0 ? 0 : 2);
    else throw error;
  }
  return result;
}

/** What stands in a terminal's lines, as the sentences that it was: lines that go on are put back. */
export const unbroken = (text: string): string => text.replace(/\n {2,}(?=\S)/g, " ");

/** Lines that a terminal of 80 columns would break; a file's own long name is nobody's fault. */
export const tooLong = (text: string): string[] =>
  text.split("\n").filter((line) => [...line].length > 80 && /\S\s+\S/.test(line.slice(0, 81)));
