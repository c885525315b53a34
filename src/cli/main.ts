import { createRequire } from "node:module";
import { Command } from "commander";
import { type Io, type Register, UnusableInput } from "./command.ts";
import { tellFaultAtExit } from "./fault-at-exit.ts";
import { withLanguage } from "./language-option.ts";
import { commandShape, lastResort } from "./last-resort.ts";
import { Output, printable } from "./output.ts";
import { unusable } from "./store/cannot-write.ts";
import { keeperFor } from "./store/kept-answers.ts";
import { wantsColour, wantsProgress } from "./terminal.ts";

/**
 * Every command, in the order in which `--help` lists them. A command's code is loaded when it is
 * the one that was asked for: a check should not wait for the memo's document writer.
 */
const commands: Readonly<Record<string, () => Promise<Register>>> = {
  init: async () => (await import("./init.ts")).registerInit,
  import: async () => (await import("./import.ts")).registerImport,
  check: async () => (await import("./check.ts")).registerCheck,
  next: async () => (await import("./next.ts")).registerNext,
  trend: async () => (await import("./trend.ts")).registerTrend,
  decide: async () => (await import("./decide.ts")).registerDecide,
  charts: async () => (await import("./charts.ts")).registerCharts,
  report: async () => (await import("./report.ts")).registerReport,
  memo: async () => (await import("./memo.ts")).registerMemo,
  round: async () => (await import("./round.ts")).registerRound,
  touches: async () => (await import("./touches.ts")).registerTouches,
  pads: async () => (await import("./pads.ts")).registerPads,
  ready: async () => (await import("./ready.ts")).registerReady,
  learn: async () => (await import("./learn.ts")).registerLearn,
  meter: async () => (await import("./meter.ts")).registerMeter,
  log: async () => (await import("./log.ts")).registerLog,
  undo: async () => (await import("./log.ts")).registerUndo,
  completion: async () => (await import("./completion.ts")).registerCompletion,
};

/** The package's own; it stands as far above src/cli as above dist/cli. */
const { version } = createRequire(import.meta.url)("../../package.json") as { version: string };

/** What the system refused about a file is no fault of the program, wherever it was asked. */
function systemFault(error: unknown): unknown {
  const path = error instanceof Error && "path" in error ? error.path : null;
  return typeof path === "string" ? unusable(path, error) : error;
}

/** Runs one command line and returns when its output is written. */
export async function run(args: readonly string[], io: Omit<Io, "language">): Promise<void> {
  const program = new Command("dropwise")
    .description("From a sheet of volt readings to the connector at fault.")
    .version(version)
    .option("-q, --quiet", "say nothing but the answer, what could not be used, and errors")
    .configureHelp({ showGlobalOptions: true })
    .configureOutput({ writeOut: io.out, writeErr: io.err })
    .exitOverride()
    .showHelpAfterError("(dropwise --help shows what there is)");
  const asked = args[0] ?? "";
  // What completes the others has to know them.
  const isOne = Object.hasOwn(commands, asked) && asked !== "completion";
  const wanted = isOne ? [commands[asked]!] : Object.values(commands);
  const isQuiet = (): boolean => program.opts<{ quiet?: boolean }>().quiet === true;
  const quietly = { ...io, note: (text: string) => void (isQuiet() || io.note(text)) };
  const told = withLanguage(program, quietly, process.env["DROPWISE_LANGUAGE"]);
  for (const load of wanted) (await load())(program, told);
  try {
    await program.parseAsync([...args], { from: "user" });
  } catch (error) {
    const told = systemFault(error);
    if (told instanceof UnusableInput) {
      io.err(`dropwise: ${told.message}\n`);
      io.exit(2);
    } else if (error instanceof Error && "exitCode" in error) {
      io.exit(error.exitCode === 0 ? 0 : 2);
    } else throw error;
  }
}

const args = process.argv.slice(2);
const crashed = (error: unknown): never =>
  lastResort(error, {
    version,
    command: commandShape(args, Object.keys(commands)),
    withWords: process.env["DROPWISE_CRASH_WORDS"] === "1",
  });
process.on("uncaughtException", crashed);
process.on("unhandledRejection", crashed);

const out = new Output(process.stdout);
const err = new Output(process.stderr);
const colour = wantsColour(process.env, process.stdout.isTTY === true);
const progress = wantsProgress(process.env, process.stderr.isTTY === true);

tellFaultAtExit(out, err);

await run(args, {
  out: (text) => out.write(printable(text, colour)),
  err: (text) => err.write(printable(text, progress)),
  note: (text) => err.write(printable(text, progress)),
  colour,
  progress,
  keeper: keeperFor(process.env),
  exit: (status) => {
    process.exitCode = status;
  },
}).catch(crashed);
