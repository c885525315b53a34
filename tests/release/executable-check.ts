import { spawnSync } from "node:child_process";
import {
  chmodSync,
  copyFileSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { ods, xlsx } from "../cli/spreadsheet/made-sheets.ts";
import { readmeCommands } from "./installed.ts";
import { type Check, checkLine } from "./package-checks.ts";

/**
 * The command as one file, tried where there is no Node, no package and nothing on the path: README's
 * commands, pictures, Word, spreadsheets, and what it lays out: `npm run executable` builds and tries it.
 */

const folder = mkdtempSync(join(tmpdir(), "dropwise-alone-"));
const home = join(folder, "home");
const away = join(folder, "away");
const here = join(folder, "pool");
for (const one of [home, away, here]) mkdirSync(one);
const tool = join(folder, process.platform === "win32" ? "dropwise.exe" : "dropwise");
copyFileSync(process.argv[2] ?? "dist/executable/dropwise", tool);
for (const name of Object.keys(process.env)) delete process.env[name];
Object.assign(process.env, { HOME: home, PATH: away, TMPDIR: tmpdir() });

const run = (args: readonly string[], env: Readonly<Record<string, string>> = {}) =>
  spawnSync(tool, args, {
    cwd: here,
    encoding: "utf8",
    input: "",
    env: { ...process.env, ...env },
  });

function tried(args: readonly string[], makes: string | null, statuses = [0, 1]): Check {
  const { status, stderr } = run(args);
  const made =
    makes === null || readdirSync(here, { recursive: true, encoding: "utf8" }).includes(makes);
  return {
    name: args.join(" "),
    ok: statuses.includes(status ?? -1) && made,
    detail: made && statuses.includes(status ?? -1) ? "" : `status ${status}, ${makes}: ${stderr}`,
  };
}

/** One folder of parts in the user's own folder, mended where a part has gone, and none where it can't be. */
function laidOut(): readonly Check[] {
  const cache = join(home, ".cache");
  // Beside them lies what earlier runs have answered, in `dropwise`.
  const [only, ...others] = readdirSync(cache, { encoding: "utf8" }).filter(
    (name) => name !== "dropwise",
  );
  const fonts = join(cache, only!, "dist/command/fonts");
  const before = readdirSync(fonts).length;
  rmSync(fonts, { recursive: true });
  const mended = run(["--version"]).status === 0 && readdirSync(fonts).length === before;
  // Somebody else's folder, or one that others may write in, is not run from.
  chmodSync(join(cache, only!), 0o777);
  const temporary = join(folder, "temporary");
  mkdirSync(temporary);
  const passing = run(["check"], { TMPDIR: temporary }).status;
  return [
    { name: "parts laid out once", ok: others.length === 0, detail: only! },
    { name: "parts that have gone come again", ok: mended, detail: "" },
    {
      name: "a folder that others may write in is not used, and none stays behind",
      ok: passing === 1 && readdirSync(temporary).length === 0,
      detail: `status ${passing}, ${readdirSync(temporary).length} left`,
    },
  ];
}

let failed = 0;
try {
  const checks = [...readmeCommands(here, [tool])];
  writeFileSync(join(here, "walk.ods"), ods());
  writeFileSync(join(here, "walk.xlsx"), xlsx());
  checks.push(
    tried(["--version"], null, [0]),
    tried(["check", "--help"], null, [0]),
    tried(["check", "walk.ods", "--json"], null),
    tried(["check", "walk.xlsx", "--json"], null),
    tried(["report", "--out", "report.html"], "report.html"),
    tried(["memo", "--out", "memo"], join("memo", "memo.docx")),
    tried(["charts", "--out", "charts"], join("charts", "lane-map.png")),
    tried(["check", "nothing.csv"], null, [2]),
    ...laidOut(),
  );
  for (const check of checks) {
    if (!check.ok) failed++;
    process.stdout.write(checkLine(check.ok ? "ok  " : "FAIL", check));
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
process.stdout.write(failed === 0 ? "one file does it all\n" : `${failed} failed\n`);
process.exitCode = failed === 0 ? 0 : 1;
