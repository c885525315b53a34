import { registerCharts } from "../../src/cli/charts.ts";
import { registerCheck } from "../../src/cli/check.ts";
import type { Register } from "../../src/cli/command.ts";
import { registerCompletion } from "../../src/cli/completion.ts";
import { registerDecide } from "../../src/cli/decide.ts";
import { registerImport } from "../../src/cli/import.ts";
import { registerInit } from "../../src/cli/init.ts";
import { registerLearn } from "../../src/cli/learn.ts";
import { registerLog, registerUndo } from "../../src/cli/log.ts";
import { registerMemo } from "../../src/cli/memo.ts";
import { registerMeter } from "../../src/cli/meter.ts";
import { registerNext } from "../../src/cli/next.ts";
import { registerPads } from "../../src/cli/pads.ts";
import { registerReady } from "../../src/cli/ready.ts";
import { registerReport } from "../../src/cli/report.ts";
import { registerRound } from "../../src/cli/round.ts";
import { registerTouches } from "../../src/cli/touches.ts";
import { registerTrend } from "../../src/cli/trend.ts";

/** Every command, with more words for those that have commands of their own. */
export const commands: readonly (readonly [string, Register])[] = [
  ["init", registerInit],
  ["import", registerImport],
  ["check", registerCheck],
  ["next", registerNext],
  ["trend", registerTrend],
  ["decide", registerDecide],
  ["charts", registerCharts],
  ["report", registerReport],
  ["memo", registerMemo],
  ["round", registerRound],
  ["touches", registerTouches],
  ["pads", registerPads],
  ["ready", registerReady],
  ["learn", registerLearn],
  ["meter", registerMeter],
  ["log", registerLog],
  ["log cleaned", registerLog],
  ["log import", registerLog],
  ["undo", registerUndo],
  ["completion", registerCompletion],
];
