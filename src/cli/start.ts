#!/usr/bin/env node
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { tellFaultAtExit } from "./fault-at-exit.ts";
import { Output } from "./output.ts";

/**
 * The command's first lines: its version and its help are told before any command is loaded. The help
 * is what the command itself printed when it was built, and stands beside the built file.
 */

const beside = (file: string): string => join(import.meta.dirname, file);

function atOnce(args: readonly string[]): string | null {
  if (args.length !== 1) return null;
  if (args[0] === "--version" || args[0] === "-V") {
    const about = readFileSync(beside("../../package.json"), "utf8");
    return `${(JSON.parse(about) as { version: string }).version}\n`;
  }
  const help = beside("help.txt");
  const isHelp = args[0] === "--help" || args[0] === "-h" || args[0] === "help";
  return isHelp && existsSync(help) ? readFileSync(help, "utf8") : null;
}

const answer = atOnce(process.argv.slice(2));
if (answer === null) await import("./main.ts");
else {
  const out = new Output(process.stdout);
  tellFaultAtExit(out, new Output(process.stderr));
  out.write(answer);
}
