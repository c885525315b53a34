import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  realpathSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { registerCharts } from "../../../src/cli/charts.ts";
import { registerCheck } from "../../../src/cli/check.ts";
import { UnusableInput } from "../../../src/cli/command.ts";
import { registerInit } from "../../../src/cli/init.ts";
import { registerMemo } from "../../../src/cli/memo.ts";
import { registerReport } from "../../../src/cli/report.ts";
import { registerRound } from "../../../src/cli/round.ts";
import { recover, writeFiles } from "../../../src/cli/store/file-set.ts";
import { runCommand } from "../run-command.ts";
import { disown, type Fault, Killed, onFaultyDisk } from "./faulty-disk.ts";

// What report, charts and memo write is drawn once and then written again and again: the drawing
// takes seconds, and it is the writing that is tried here.
vi.mock(import("../../../src/cli/make-report.ts"), async (original) => {
  const own = await original();
  const charts: Awaited<ReturnType<typeof drawn>> = [];
  async function drawn(...given: Parameters<typeof own.makeCharts>) {
    const all = [];
    for await (const chart of own.makeCharts(...given)) all.push(chart);
    return all;
  }
  let report: ReturnType<typeof own.makeReport> | null = null;
  return {
    ...own,
    makeReport: (...given: Parameters<typeof own.makeReport>) => {
      report ??= own.makeReport(...given);
      return report;
    },
    makeCharts: async function* (...given: Parameters<typeof own.makeCharts>) {
      if (charts.length === 0) charts.push(...(await drawn(...given)).slice(0, 3));
      yield* charts;
    },
  };
});
vi.mock(import("../../../src/cli/make-memo.ts"), async (original) => {
  const own = await original();
  let memo: ReturnType<typeof own.makeMemo> | null = null;
  return {
    ...own,
    makeMemo: (...given: Parameters<typeof own.makeMemo>) => {
      memo ??= own.makeMemo(...given);
      return memo;
    },
  };
});

// One pool object, so that what the diagnosis keeps of a pool is worked out once.
vi.mock(import("../../../src/cli/files.ts"), async (original) => {
  const own = await original();
  let pool: ReturnType<typeof own.loadPool> | null = null;
  return {
    ...own,
    loadPool: (...given: Parameters<typeof own.loadPool>) => {
      pool ??= own.loadPool(...given);
      return pool;
    },
  };
});

let folder = "";
const at = (name: string): string => join(folder, name);
const home = process.cwd();
beforeEach(() => {
  folder = realpathSync(mkdtempSync(join(tmpdir(), "dropwise-sets-")));
  mkdirSync(at("in"));
  writeFileSync(
    at("in/pool.yaml"),
    "pool: Kestrel Bay\nmodel: plain\nlanes: 2\ndevices: [touchpad]\n",
  );
  writeFileSync(at("in/sound.csv"), "lane,point,volts\n1,pod,5.0\n");
  const rows = ["1,pod,4.9", "1,plate,4.95", "2,pod,4.2", "2,plate,4.9", "9,pod,4.9"];
  writeFileSync(
    at("in/readings.csv"),
    `lane,point,volts,taken_at\n${rows.map((row) => `${row},2026-05-02\n`).join("")}`,
  );
});
afterEach(() => {
  process.chdir(home);
  rmSync(folder, { recursive: true });
});

const season = ["--pool", "in/pool.yaml", "in/readings.csv"];
const commands = {
  check: () =>
    runCommand(
      [registerCheck],
      ["check", "--pool", "in/pool.yaml", "in/sound.csv", "--out", "out/set"],
    ),
  init: () => runCommand([registerInit], ["init", "--force", "--dir", "out/set", "--lanes", "2"]),
  round: () => runCommand([registerRound], ["round", "--pool", "in/pool.yaml", "--out", "out/set"]),
  charts: () => runCommand([registerCharts], ["charts", ...season, "--out", "out/set"]),
  report: () => runCommand([registerReport], ["report", ...season, "--out", "out/set/report.html"]),
  memo: () => runCommand([registerMemo], ["memo", ...season, "--out", "out/set"]),
};

/** What stands in the folder, file by file; null where it is not there. */
function contents(path: string): Record<string, string> | null {
  if (!existsSync(path)) return null;
  const names = readdirSync(path, { recursive: true, encoding: "utf8" });
  const files = names.filter((name) => statSync(join(path, name)).isFile());
  return Object.fromEntries(
    files.map((name) => [name, readFileSync(join(path, name)).toString("base64")] as const),
  );
}

type Before = "no folder" | "a folder of files" | "a folder with a folder in it";

/** The folder as it was: with older files of the same names, and one of the user's own. */
function prepare(before: Before, names: readonly string[]): void {
  process.chdir(folder);
  rmSync(at("out"), { recursive: true, force: true });
  mkdirSync(at("out"));
  if (before === "no folder") return;
  mkdirSync(at("out/set"));
  for (const name of names.slice(0, 2)) writeFileSync(at(`out/set/${name}`), `old ${name}`);
  writeFileSync(at("out/set/mine.txt"), "mine");
  if (before === "a folder with a folder in it") {
    mkdirSync(at("out/set/sub"));
    writeFileSync(at("out/set/sub/mine.txt"), "mine too");
  }
}

const faults: readonly Fault[] = ["fails", "kill"];

/** Runs with each call to the disk going wrong in turn, and looks at what is left. */
async function tryAll(
  before: Before,
  fault: Fault,
  names: readonly string[],
  run: () => Promise<{ status: number; err: string }>,
): Promise<void> {
  prepare(before, names);
  const old = contents(at("out/set"));
  const { calls, result: whole } = await onFaultyDisk(0, fault, run);
  expect(whole?.status).not.toBe(2);
  const fresh = contents(at("out/set"));
  expect(fresh).toEqual({ ...old, ...fresh });
  expect(calls.length).toBeGreaterThan(5);
  for (let call = 1; call <= calls.length; call++) {
    prepare(before, names);
    const { result, error } = await onFaultyDisk(call, fault, run);
    const where = `${fault} at call ${call}, ${calls[call - 1]}`;
    if (error !== null) expect(error, where).toBeInstanceOf(Killed);
    if (result?.status === 2) expect(result.err.trimEnd(), where).toMatch(/^dropwise: .*$/m);
    // The next run that writes there ends what a power cut interrupted.
    disown(at("out"));
    recover(at("out/set"));
    const left = contents(at("out/set"));
    if (result !== null && result.status !== 2) expect(sameFiles(left, fresh), where).toBe(true);
    else expect(sameFiles(left, old) || sameFiles(left, fresh), where).toBe(true);
    const hidden = [
      ...readdirSync(at("out")),
      ...(left === null ? [] : readdirSync(at("out/set"))),
    ];
    expect(
      hidden.filter((one) => one.startsWith(".")),
      where,
    ).toEqual([]);
  }
  expect((await run()).status).not.toBe(2);
  expect(sameFiles(contents(at("out/set")), fresh)).toBe(true);
}

test.each<[Before, Fault]>(
  (["no folder", "a folder of files", "a folder with a folder in it"] as const).flatMap((before) =>
    faults.map((fault): [Before, Fault] => [before, fault]),
  ),
)("a set into %s, whatever call to the disk %s: all files or none", async (before, fault) => {
  const set = [
    { name: "a.txt", content: "new a" },
    { name: "b.csv", content: "x,y\r\n1,2\r\n" },
    { name: "deep/c.json", content: "{}" },
  ];
  await tryAll(before, fault, ["a.txt", "b.csv"], async () => {
    try {
      writeFiles("out/set", set);
      return { status: 0, err: "" };
    } catch (error) {
      if (!(error instanceof UnusableInput)) throw error;
      return { status: 2, err: `dropwise: ${error.message}\n` };
    }
  });
});

// Of the commands, each into a folder where an older set and a file of the user's own stand.
describe.each(Object.keys(commands) as (keyof typeof commands)[])("dropwise %s", (name) => {
  test.each(faults)("whatever call to the disk %s: all files or none", async (fault) => {
    prepare("no folder", []);
    await commands[name]();
    const names = Object.keys(contents(at("out/set")) ?? {});
    expect(names.length).toBeGreaterThan(0);
    await tryAll("a folder of files", fault, names, commands[name]);
  });
});

const sameFiles = (a: Record<string, string> | null, b: Record<string, string> | null): boolean =>
  JSON.stringify(sorted(a)) === JSON.stringify(sorted(b));
const sorted = (files: Record<string, string> | null) =>
  files === null ? null : Object.entries(files).sort(([x], [y]) => (x < y ? -1 : 1));
