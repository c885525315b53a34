#!/usr/bin/env node
import { Command } from "commander";
import { registerCharts } from "./charts.ts";
import { registerCheck } from "./check.ts";
import { type Io, type Register, UnusableInput } from "./command.ts";
import { registerDecide } from "./decide.ts";
import { registerInit } from "./init.ts";
import { registerLog, registerUndo } from "./log.ts";
import { registerMemo } from "./memo.ts";
import { registerMeter } from "./meter.ts";
import { registerPads } from "./pads.ts";
import { registerReady } from "./ready.ts";
import { registerReport } from "./report.ts";
import { registerRound } from "./round.ts";
import { registerTouches } from "./touches.ts";
import { registerTrend } from "./trend.ts";

/** Every command, in the order in which `--help` lists them. */
const commands: readonly Register[] = [
  registerInit,
  registerCheck,
  registerTrend,
  registerDecide,
  registerCharts,
  registerReport,
  registerMemo,
  registerRound,
  registerTouches,
  registerPads,
  registerReady,
  registerMeter,
  registerLog,
  registerUndo,
];

/** Runs one command line and returns when its output is written. */
export async function run(args: readonly string[], io: Io): Promise<void> {
  const program = new Command("dropwise")
    .description("From a sheet of volt readings to the connector at fault.")
    .configureOutput({ writeOut: io.out, writeErr: io.err })
    .exitOverride()
    .showHelpAfterError("(dropwise --help shows what there is)");
  for (const register of commands) register(program, io);
  try {
    await program.parseAsync([...args], { from: "user" });
  } catch (error) {
    if (error instanceof UnusableInput) {
      io.err(`dropwise: ${error.message}\n`);
      io.exit(2);
    } else if (error instanceof Error && "exitCode" in error) {
      io.exit(error.exitCode === 0 ? 0 : 2);
    } else throw error;
  }
}

await run(process.argv.slice(2), {
  out: (text) => void process.stdout.write(text),
  err: (text) => void process.stderr.write(text),
  colour: process.stdout.isTTY === true && process.env["NO_COLOR"] === undefined,
  progress: process.stderr.isTTY === true,
  exit: (status) => {
    process.exitCode = status;
  },
});
