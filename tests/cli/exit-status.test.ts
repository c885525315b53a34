import { spawn } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { commandShape, crashSentence, crashText } from "../../src/cli/last-resort.ts";
import { printable } from "../../src/cli/output.ts";

let folder = "";
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "dropwise-exit-"));
  writeFileSync(
    join(folder, "pool.yaml"),
    "pool: Kestrel Bay\nmodel: plain\nlanes: 2\ndevices: [touchpad]\n",
  );
  writeFileSync(join(folder, "deck.csv"), "lane,point,volts\n1,pod,4.99\n2,plate,4.2\n");
});
afterAll(() => rmSync(folder, { recursive: true }));

/** A command line in a shell, with this command as $0. */
function shell(
  line: string,
  input?: Uint8Array,
): Promise<{ status: number; out: string; err: string }> {
  const at = (path: string): string => join(process.cwd(), path);
  const main = `${at("node_modules/.bin/tsx")} ${at("src/cli/main.ts")}`;
  const child = spawn("bash", ["-c", line.replaceAll("DROPWISE", main)], { cwd: folder });
  child.stdin.end(input);
  const said = { out: "", err: "" };
  child.stdout.on("data", (piece) => {
    said.out += piece;
  });
  child.stderr.on("data", (piece) => {
    said.err += piece;
  });
  return new Promise((done) =>
    child.on("close", (status) => done({ status: status ?? -1, ...said })),
  );
}

describe("a process's exit status", () => {
  test("a closed pipe changes none, and the files are written all the same", async () => {
    const { status, err } = await shell(
      "DROPWISE check deck.csv --out set | head -1 >&2; exit $PIPESTATUS",
    );
    expect([status, err.split("\n").length]).toEqual([1, 2]);
    expect(readdirSync(join(folder, "set")).sort()).toEqual([
      "check.json",
      "check.txt",
      "rejected.csv",
    ]);
    expect(JSON.parse(readFileSync(join(folder, "set/check.json"), "utf8")).rows.used).toBe(2);
  });

  test.skipIf(process.platform === "win32")("a full device is one sentence and 2", async () => {
    const { status, err } = await shell("DROPWISE check deck.csv > /dev/full");
    expect(err).toBe("dropwise: standard output could not be written: the disk is full\n");
    expect(status).toBe(2);
  });

  test("standard input is a sheet like any other", async () => {
    const { status, out } = await shell("DROPWISE check - < deck.csv");
    expect(status).toBe(1);
    expect(out).toContain("2 readings of 2 circuits");
  });

  // A pipe has no path, and what another program hands over may be a socket, which can't be opened.
  test.skipIf(process.platform === "win32").each([
    ["a pipe", "cat deck.csv | DROPWISE check -"],
    ["a pipe by name", "cat deck.csv | DROPWISE check /dev/stdin"],
    ["a pipe that a shell names", "DROPWISE check <(cat deck.csv)"],
  ])("so is %s", async (_, line) => {
    const { status, out, err } = await shell(line);
    expect(err).toBe("");
    expect([status, out.includes("2 readings of 2 circuits")]).toEqual([1, true]);
  });

  test("a socket, as another program hands one over", async () => {
    const { status, err } = await shell(
      "DROPWISE check - >/dev/null",
      readFileSync(join(folder, "deck.csv")),
    );
    expect([status, err]).toEqual([1, ""]);
  });

  test("a pipe that strikes a row out is refused: what it strikes may be gone by", async () => {
    const rows = "lane,point,volts,taken_at,state\n1,pod,4.9,2026-05-02T10:00,struck\n";
    const { status, err } = await shell("DROPWISE check -", Buffer.from(rows));
    expect([status, err.trimEnd().split("\n").length]).toEqual([2, 1]);
    expect(err).toContain("a pipe is read once");
  });
});

test("a crash file says what was asked for and where it broke, and holds nobody's reading", () => {
  const error = new RangeError("lane 3 reads 4.91, 'secret'");
  const run = { version: "1", command: "check --pool", withWords: false };
  const text = crashText(error, run);
  expect(text).toContain("RangeError");
  expect(text).toContain("exit-status.test.ts");
  expect(text).not.toMatch(/4\.91|secret/);
  expect(crashText(error, { ...run, withWords: true })).toContain("4.91");
  const args = ["check", "--pool=my pool.yaml", "deck.csv", "--out", "x"];
  expect(commandShape(args, ["check"])).toBe("check --pool --out");
  for (const path of ["/tmp/crash.txt", null])
    expect(crashSentence(path).split("\n")).toHaveLength(1);
});

test("what a file says can't move a terminal's cursor or colour it", () => {
  expect(printable("a\u001b[31mb\u0007\u009b2Jc\u202ed\r\n\te", false)).toBe(
    "a\ufffd[31mb\ufffd\ufffd2Jc\ufffdd\n\te",
  );
  expect(printable("\u001b[1mbold\u001b[0m\u001b]0;title\u0007", true)).toBe(
    "\u001b[1mbold\u001b[0m\ufffd]0;title\ufffd",
  );
});
