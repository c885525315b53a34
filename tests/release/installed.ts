import { execFileSync, spawnSync } from "node:child_process";
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import type { Check } from "./package-checks.ts";
import { readmeParts } from "./readme.ts";

/** What only shows where the package is installed, in an empty folder, without what it is built with. */

const MOST_INSTALLED = 25_000_000;
/** Processor time in units of `node -e 0`, at most. */
const MOST_START = 2;
/** The same of a check of one walk, under the oldest Node: newer ones start in less themselves. */
const MOST_CHECK = 4;
/** Processor time of a report and a memo of the demo, its walks read before [s]. */
const MOST_PAPER = 1.5;

/** Runs programs in TypeScript under any Node. */
const tsx = resolve("node_modules/tsx/dist/cli.mjs");
/** The command, as it is installed. */
const startFile = "node_modules/dropwise/dist/command/start.js";

const sizeOf = (folder: string): number =>
  readdirSync(folder, { recursive: true, encoding: "utf8" })
    .map((path) => statSync(join(folder, path)))
    .reduce((sum, one) => sum + (one.isFile() ? one.size : 0), 0);

/** The name that is typed leads to the command. */
function byName(folder: string): Check {
  const args = ["exec", "--no", "--", "dropwise", "--version"];
  const run = spawnSync("npm", args, { cwd: folder, encoding: "utf8" });
  return { name: "npx dropwise", ok: run.status === 0, detail: `${run.stdout}${run.stderr}` };
}

function installIn(folder: string, tarball: string, more: readonly string[] = []): void {
  writeFileSync(join(folder, "package.json"), '{ "type": "module" }\n');
  const args = ["install", "--no-audit", "--no-fund", "--ignore-scripts", ...more, tarball];
  execFileSync("npm", args, { cwd: folder, stdio: "ignore" });
}

export function install(folder: string, tarball: string): readonly Check[] {
  installIn(folder, tarball);
  const bytes = sizeOf(join(folder, "node_modules"));
  return [
    {
      name: "installed size",
      ok: bytes < MOST_INSTALLED,
      detail: `${(bytes / 1e6).toFixed(1)} MB`,
    },
    byName(folder),
  ];
}

/**
 * Installed without the native part, in a folder that sees no other: what draws nothing in dots works, and what
 * does says what is missing.
 */
export function coreAlone(tarball: string): readonly Check[] {
  const folder = mkdtempSync(join(tmpdir(), "dropwise-core-"));
  try {
    installIn(folder, tarball, ["--omit=optional"]);
    const bytes = sizeOf(join(folder, "node_modules"));
    const tool = [process.execPath, join(folder, startFile)] as const;
    const failed = readmeCommands(folder, tool).filter(({ ok }) => !ok);
    const run = (...args: readonly string[]) =>
      spawnSync(tool[0], [tool[1], ...args], { cwd: folder, encoding: "utf8" });
    const report = run("report", "--out", "report.html");
    const { status, stderr } = run("memo", "--out", "memo");
    return [
      {
        name: "the core alone",
        ok: failed.length === 0,
        detail: [`${(bytes / 1e6).toFixed(1)} MB`, ...failed.map(({ detail }) => detail)].join(
          "; ",
        ),
      },
      {
        name: "the core alone writes a report",
        ok: report.status === 0 && existsSync(join(folder, "report.html")),
        detail: `status ${report.status}`,
      },
      {
        name: "the core alone says what draws pictures",
        ok: status === 2 && /^dropwise: pictures are drawn by /m.test(stderr),
        detail: `status ${status}`,
      },
    ];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** A pool of two lanes that README's commands find, with a sheet for each that takes one. */
function writeInputs(folder: string): void {
  const write = (name: string, text: string): void => writeFileSync(join(folder, name), text);
  mkdirSync(join(folder, "readings"), { recursive: true });
  write(
    "pool.yaml",
    "pool: Kestrel Bay\nlanes: 4\ndevices: [touchpad]\nmodel: plain\nsupply: { source_ohms: 0 }\n",
  );
  const walk = (day: string, volts: string) =>
    `lane,point,volts,taken_at\n1,pod,4.98,${day}\n3,plate,${volts},${day}\n3,pod,${volts},${day}\n`;
  write("readings/one.csv", walk("2026-04-25", "4.83"));
  write("readings/two.csv", walk("2026-05-02", "4.71"));
  write("walk.csv", walk("2026-05-09", "4.7"));
  write("monday.xlsx", "");
  write(
    "resistors.csv",
    "ohms,volts\n0,5.00\n0,4.99\n47,4.77\n47,4.78\n100,4.54\n100,4.55\n220,4.10\n220,4.09\n",
  );
}

/** A spreadsheet is not made here, and a walk that asks needs somebody who answers. */
const needsMore = /\.xlsx|--guide/;

/** README's commands one after another, by the tool as it is started there. */
export function readmeCommands(folder: string, tool: readonly string[]): readonly Check[] {
  writeInputs(folder);
  const { commands } = readmeParts();
  const checks = commands
    .filter((line) => !needsMore.test(line))
    .map((line): Check => {
      const args = line.split(" ").slice(2);
      const run = spawnSync(tool[0]!, [...tool.slice(1), ...args], {
        cwd: folder,
        encoding: "utf8",
        input: "",
      });
      // Ways to start a pool may ask; without an answer they say what is missing, and that is input.
      const ok = run.status === 0 || run.status === 1 || (args[0] === "init" && run.status === 2);
      return { name: line, ok, detail: ok ? "" : `status ${run.status}: ${run.stderr}` };
    });
  return [...checks, { name: "README has commands", ok: checks.length > 2, detail: "" }];
}

/** README's programs run as they stand. */
function readmePrograms(folder: string, node: string): readonly Check[] {
  return readmeParts().programs.map((code, index): Check => {
    const file = `program-${index + 1}.ts`;
    writeFileSync(join(folder, file), code);
    const run = spawnSync(node, [tsx, file], { cwd: folder, encoding: "utf8" });
    return { name: `${file} runs`, ok: run.status === 0, detail: run.stderr };
  });
}

/** Everything that README tells a reader to type or to write, by a Node. */
export const readmeRuns = (folder: string, node: string): readonly Check[] => [
  ...readmeCommands(folder, [node, join(folder, startFile)]),
  ...readmePrograms(folder, node),
];

/** Median of processor seconds of some runs, taken in turn. */
function medians(node: string, cases: Readonly<Record<string, readonly string[]>>, cwd: string) {
  const taken = Object.keys(cases).map((name) => ({ name, seconds: [] as number[] }));
  for (let turn = 0; turn < 9; turn++) {
    for (const { name, seconds } of taken) {
      seconds.push(childSeconds([node, ...cases[name]!], cwd));
    }
  }
  return new Map(taken.map(({ name, seconds }) => [name, seconds.sort((a, b) => a - b)[4]!]));
}

/** Processor seconds of one run, as the shell's clock has them. */
function childSeconds(command: readonly string[], cwd: string): number {
  const timed = 'TIMEFORMAT="%U %S"; time "$0" "$@" >/dev/null 2>/dev/null';
  const run = spawnSync("bash", ["-c", timed, ...command], { cwd, encoding: "utf8" });
  const [user, system] = run.stderr.trim().split(/\s+/).slice(-2).map(Number);
  return user! + system!;
}

/** Whether there is a shell whose clock times a program. */
const hasClock = spawnSync("bash", ["-c", "true"]).status === 0;

/** Starts against `bare`, a Node that does nothing. */
export function startTimes(folder: string, node: string): readonly Check[] {
  if (!hasClock) return [{ name: "start", ok: true, detail: "not timed: no bash here" }];
  const found = medians(
    node,
    {
      bare: ["-e", "0"],
      "--version": [startFile, "--version"],
      "--help": [startFile, "--help"],
      "check --help": [startFile, "check", "--help"],
      "check walk.csv": [startFile, "check", "walk.csv"],
    },
    folder,
  );
  const bare = found.get("bare")!;
  const most: Readonly<Record<string, number>> = {
    ...{ "--version": MOST_START, "--help": MOST_START },
    ...(node === process.execPath && /^v20\./.test(process.version)
      ? { "check walk.csv": MOST_CHECK }
      : {}),
  };
  return [...found].slice(1).map(([name, seconds]) => {
    const times = seconds / bare;
    return {
      name: `start of ${name}`,
      ok: times <= (most[name] ?? Number.POSITIVE_INFINITY),
      detail: `${times.toFixed(1)} times node -e 0 (${seconds.toFixed(2)} s)`,
    };
  });
}

/** Report and memo of the demo, in turn, its walks read once before: the first reading stands with them. */
export function paperTimes(folder: string, node: string): readonly Check[] {
  if (!hasClock) return [{ name: "papers", ok: true, detail: "not timed: no bash here" }];
  const pool = ["--pool", resolve("datasets/kestrel-bay")];
  const cases = {
    report: [startFile, "report", ...pool, "--out", "demo.html"],
    memo: [startFile, "memo", ...pool, "--out", "demo"],
  };
  const cold = Object.values(cases).map((args) => childSeconds([node, ...args], folder));
  const found = medians(node, cases, folder);
  const made = existsSync(join(folder, "demo.html")) && existsSync(join(folder, "demo/memo.docx"));
  return [...found].map(([name, seconds], k) => ({
    name: `${name} of the demo`,
    ok: made && seconds < MOST_PAPER,
    detail: `${seconds.toFixed(2)} s, ${cold[k]!.toFixed(1)} s the first time`,
  }));
}
