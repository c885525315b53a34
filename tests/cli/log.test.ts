import { spawn } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { parse } from "csv-parse/sync";
import { build } from "esbuild";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { registerLog, registerUndo } from "../../src/cli/log.ts";
import { newOwner } from "../../src/cli/store/owner.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readWorkLog } from "../../src/intake/read-work-log.ts";
import { standing } from "../../src/intake/undone.ts";
import { runCommand } from "./run-command.ts";

let folder = "";
const file = (name: string): string => join(folder, name);
const rowsOf = (name: string): Record<string, string>[] =>
  parse(readFileSync(file(name), "utf8"), { columns: true }) as Record<string, string>[];
const run = (...args: string[]) =>
  runCommand(
    [registerLog, registerUndo],
    [...args, "--work", file("work.csv"), "--pool", file("pool.yaml")],
  );
const cleaned = (lane: number, at: string) =>
  run("log", "cleaned", "--lane", String(lane), "--point", "plate", "--at", at);

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "dropwise-log-"));
  writeFileSync(
    file("pool.yaml"),
    "pool: Kestrel Bay\nmodel: plain\nlanes: 8\ndevices: [touchpad, button-1, button-2]\n",
  );
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const standingRows = (rows: readonly unknown[]) =>
  standing(rows.map((cells) => ({ cells: cells as never, broken: [] }))).stands;

describe("dropwise log", () => {
  test("one row in columns that a person reads, under the pool's own names", async () => {
    const done = await run(
      ...["log", "replaced", "--lane", "L03", "--point", "POD", "--device", "Button_1"],
      ...["--at", "2026-06-12T08:30", "--minutes", "25", "--by", "KM", "--note", 'a "b", c'],
    );
    expect(done).toMatchObject({ status: 0, err: "" });
    expect(rowsOf("work.csv")).toEqual([
      {
        done_at: "2026-06-12T08:30",
        lane: "3",
        device: "button-1",
        end: "",
        point: "pod",
        action: "replaced",
        minutes: "25",
        cost: "",
        by: "KM",
        note: 'a "b", c',
      },
    ]);
  });

  test("without --at it is now, with this machine's offset", async () => {
    await run("log", "cleaned", "--point", "timer");
    expect(rowsOf("work.csv")[0]?.["done_at"]).toMatch(
      /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[+-]\d\d:\d\d$/,
    );
    expect(rowsOf("work.csv")[0]?.["lane"]).toBe("");
  });

  test.each([
    [["--point", "plait", "--lane", "3"], "did you mean 'plate'?"],
    [["--point", "plate"], "lane is blank"],
    [["--point", "pod", "--lane", "3"], "belongs to one device, so say which"],
    [["--point", "plate", "--lane", "9"], "lane is '9'"],
    [["--point", "plate", "--lane", "3", "--at", "yesterday"], "not an ISO 8601"],
    [["--point", "plate", "--lane", "3", "--minutes", "-5"], "minutes is '-5'"],
  ])("%j is one sentence, exit 2, and no file", async (args, words) => {
    const done = await run("log", "cleaned", ...args);
    expect(done.status).toBe(2);
    expect(done.err).toContain(words);
    expect(done.err.trim().split("\n").length).toBe(1);
    expect(existsSync(file("work.csv"))).toBe(false);
  });

  test("a log that a spreadsheet saved keeps its own columns, delimiter and last line", async () => {
    writeFileSync(
      file("work.csv"),
      "\uFEFFLane;Point;Action;Done at;Device;Note\r\n1;plate;cleaned;2026-05-02;;first",
    );
    await run(...["log", "cleaned", "--lane", "2", "--point", "plate"], "--at", "2026-05-09");
    expect(readFileSync(file("work.csv"), "utf8")).toBe(
      "\uFEFFLane;Point;Action;Done at;Device;Note\r\n1;plate;cleaned;2026-05-02;;first\r\n" +
        "2;plate;cleaned;2026-05-09;;\r\n",
    );
  });

  test("a log of an older version gets the columns it lacks, and no value of it moves", async () => {
    const old = 'done_at,lane,point,action,note\r\n2026-05-02,1,plate,cleaned,"two\r\nlines"\r\n';
    writeFileSync(file("work.csv"), `${old}2026-05-03,2,plate,cleaned,`);
    const args = ["--point", "timer", "--at", "2026-05-09", "--minutes", "3", "--by", "KM"];
    expect((await run("log", "replaced", ...args)).status).toBe(0);
    expect(readFileSync(file("work.csv"), "utf8")).toBe(
      "done_at,lane,point,action,note,minutes,by\r\n" +
        '2026-05-02,1,plate,cleaned,"two\r\nlines",,\r\n2026-05-03,2,plate,cleaned,,,\r\n' +
        '2026-05-09,,timer,replaced,,3,"KM"\r\n',
    );
    expect(rowsOf("work.csv").map((row) => row["by"])).toEqual(["", "", "KM"]);
  });

  test("a log with a row that is none is not widened: its cells would change their headings", async () => {
    const old = "done_at,lane,point,action\r\n2026-05-02,1,plate,cleaned,12\r\n";
    writeFileSync(file("work.csv"), old);
    const late = await run("log", "cleaned", "--point", "timer", "--minutes", "3");
    expect(late).toMatchObject({ status: 2 });
    expect(late.err).toContain("has no column minutes");
    expect(readFileSync(file("work.csv"), "utf8")).toBe(old);
  });

  test("a note that a spreadsheet would run is text", async () => {
    await run("log", "cleaned", "--point", "timer", "--note", "=HYPERLINK(1)");
    expect(readFileSync(file("work.csv"), "utf8")).toContain("'=HYPERLINK(1)");
  });

  test("a log in another encoding is left alone, with what to do", async () => {
    const utf16 = Buffer.from("\uFEFFdone_at,lane,point,action\r\n", "utf16le");
    writeFileSync(file("work.csv"), utf16);
    const done = await cleaned(1, "2026-05-09");
    expect(done.err).toContain('not UTF-8 text: save it as "CSV UTF-8" first');
    expect(readFileSync(file("work.csv"))).toEqual(utf16);
  });

  test("a file that is no work log is left alone", async () => {
    writeFileSync(file("work.csv"), "lane,point,volts\n1,plate,4.9\n");
    const done = await cleaned(1, "2026-05-09");
    expect(done.err).toContain("is no work log: has no column done_at, no column action");
    expect(readFileSync(file("work.csv"), "utf8")).toBe("lane,point,volts\n1,plate,4.9\n");
  });
});

describe("dropwise undo", () => {
  test("takes back the last entry that stands, again and again, and removes nothing", async () => {
    await cleaned(1, "2026-06-01");
    await cleaned(2, "2026-06-02");
    const before = readFileSync(file("work.csv"), "utf8");
    expect((await run("undo")).out).toContain("lane 2 plate");
    expect((await run("undo")).out).toContain("lane 1 plate");
    const third = await run("undo");
    expect(third).toMatchObject({ status: 2 });
    expect(third.err).toContain("no entry left to take back");
    expect(readFileSync(file("work.csv"), "utf8").startsWith(before)).toBe(true);
    const rows = rowsOf("work.csv");
    expect(rows.map((row) => row["action"])).toEqual(["cleaned", "cleaned", "undone", "undone"]);
    expect(standingRows(rows)).toEqual([]);
  });

  test("what was done after an undo stands, even the same work at the same moment", async () => {
    await cleaned(1, "2026-06-01");
    await run("undo");
    await cleaned(1, "2026-06-01");
    expect(standingRows(rowsOf("work.csv"))).toHaveLength(1);
  });

  test("every other command counts only what stands", async () => {
    await cleaned(1, "2026-06-01T08:00");
    await cleaned(2, "2026-06-01T09:00");
    await run("undo");
    const pool = readPool(readFileSync(file("pool.yaml"), "utf8"), "pool.yaml");
    if (!pool.ok) throw new Error("the pool file is not the matter here");
    const log = readWorkLog(readFileSync(file("work.csv"), "utf8"), pool.value, "work.csv");
    expect(log.rejected).toEqual([]);
    expect(log.entries).toMatchObject([{ lane: 1, point: "plate", action: "cleaned" }]);
  });

  test("no log, no undo", async () => {
    expect((await run("undo")).err).toContain("there is no file");
  });
});

describe("dropwise log import", () => {
  test("adds what is not here, doubles nothing, names what it can't use", async () => {
    await cleaned(1, "2026-06-01T10:00:00+02:00");
    writeFileSync(
      file("other.csv"),
      "done_at;lane;point;action;minutes\n" +
        "2026-06-01T08:00:00Z;1;plate;cleaned;\n" + // the same moment, written elsewhere
        "2026-06-03;2;plate;replaced;40\n" +
        "2026-06-03;2;plate;replaced;40\n" +
        "2026-06-04;2;plate;polished;\n",
    );
    const done = await run("log", "import", file("other.csv"));
    expect(done.out).toContain("1 rows added");
    expect(done.err).toContain("line 5: action is 'polished'");
    expect(done.status).toBe(1);
    await run("log", "import", file("other.csv"));
    expect(rowsOf("work.csv").map((row) => row["lane"])).toEqual(["1", "2"]);
  });
});

test("an import into a log of an older version keeps what its columns can't hold", async () => {
  writeFileSync(file("work.csv"), "done_at;lane;point;action\n2026-05-02;1;plate;cleaned\n");
  writeFileSync(
    file("other.csv"),
    "done_at,lane,point,action,minutes,by\n2026-06-03,2,plate,replaced,40,RB\n",
  );
  expect((await run("log", "import", file("other.csv"))).status).toBe(0);
  expect(readFileSync(file("work.csv"), "utf8")).toBe(
    "done_at;lane;point;action;minutes;by\n2026-05-02;1;plate;cleaned;;\n" +
      '2026-06-03;2;plate;replaced;40;"RB"\r\n',
  );
});

/** The program with these two commands alone. */
const program = `
import { Command } from "commander";
import { UnusableInput } from "./src/cli/command.ts";
import { registerLog, registerUndo } from "./src/cli/log.ts";
const program = new Command("dropwise");
const exit = (status) => { process.exitCode = status; };
const io = { out: () => {}, err: () => {}, note: () => {}, colour: false, language: "en" as const, progress: false, exit };
registerLog(program, io);
registerUndo(program, io);
try {
  await program.parseAsync();
} catch (error) {
  if (!(error instanceof UnusableInput)) throw error;
  process.exitCode = 2;
}
`;

/** `log` and `undo`, bundled once, so that a process of its own starts at once. */
const bundle = join(mkdtempSync(join(tmpdir(), "dropwise-program-")), "log.mjs");
const child = (args: readonly string[]): Promise<number | null> =>
  new Promise((done) => {
    spawn(process.execPath, [bundle, ...args], { cwd: folder, stdio: "ignore" }).on("exit", done);
  });

beforeAll(async () => {
  await build({
    stdin: { contents: program, resolveDir: process.cwd(), loader: "ts" },
    outfile: bundle,
    bundle: true,
    platform: "node",
    format: "esm",
    logLevel: "silent",
    // Loaded for spreadsheets only, which this program never sees.
    external: ["./spreadsheet/spreadsheet-text.ts"],
    banner: {
      js: 'import { createRequire } from "node:module"; const require = createRequire(import.meta.url);',
    },
  });
});
afterAll(() => rmSync(dirname(bundle), { recursive: true, force: true }));

describe("two people at once", () => {
  test("processes that log at the same moment lose nothing and share one header", async () => {
    const lanes = [1, 2, 3, 4, 5, 6, 7, 8];
    const note = "n".repeat(3000); // far longer than a disk block's remainder
    const statuses = await Promise.all(
      lanes.map((lane) =>
        child(["log", "cleaned", "--lane", String(lane), "--point", "plate", "--note", note]),
      ),
    );
    expect(statuses).toEqual(lanes.map(() => 0));
    const rows = rowsOf("work.csv");
    expect(rows.map((row) => Number(row["lane"])).sort()).toEqual(lanes);
    expect(rows.every((row) => row["note"] === note)).toBe(true);
    expect(existsSync(file(".work.csv.lock"))).toBe(false);
  });

  test("two undos and an import at once leave each entry taken back once", async () => {
    for (const lane of [1, 2, 3]) await cleaned(lane, `2026-06-0${lane}`);
    writeFileSync(file("other.csv"), readFileSync(file("work.csv")));
    await Promise.all([child(["undo"]), child(["undo"]), child(["log", "import", "other.csv"])]);
    const rows = rowsOf("work.csv");
    expect(rows.length).toBe(5);
    expect(standingRows(rows)).toMatchObject([{ cells: { lane: "1" } }]);
  });

  test("a lock that a dead process left is taken over", async () => {
    const dead = newOwner().replace(/-\d+-\d+-/, "-999999999-1-");
    mkdirSync(file(".work.csv.lock"));
    writeFileSync(file(`.work.csv.lock/000000001-${dead}`), "");
    writeFileSync(file(`.work.csv.lock/choosing-${dead}`), "");
    expect((await cleaned(1, "2026-06-01")).status).toBe(0);
    expect(existsSync(file(".work.csv.lock"))).toBe(false);
  });

  test("a folder that is not there is one sentence", async () => {
    const pool = ["--pool", file("pool.yaml")];
    const args = ["log", "cleaned", "--point", "timer", "--work", file("nowhere/work.csv")];
    const done = await runCommand([registerLog], [...args, ...pool]);
    expect(done.status).toBe(2);
    expect(done.err).toContain("can't write beside");
    expect(done.err).toContain("the folder does not exist");
  });
});
