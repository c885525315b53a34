import { type ChildProcess, spawn } from "node:child_process";
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { registerCheck } from "../../src/cli/check.ts";
import { registerNext } from "../../src/cli/next.ts";
import { runCommand } from "./run-command.ts";

const folder = mkdtempSync(join(tmpdir(), "next-"));
const pool = join(folder, "pool.yaml");
writeFileSync(pool, "pool: Kestrel Bay\nmodel: plain\nlanes: 2\ndevices: [touchpad, button-1]\n");
let sheets = 0;
const freshSheet = (): string => join(folder, `walk-${sheets++}.csv`);

/** A guided walk in a process of its own. */
function walking(...args: readonly string[]) {
  const child: ChildProcess = spawn(
    process.execPath,
    ["--import", "tsx", "src/cli/main.ts", "next", "--guide", "--pool", pool, ...args],
    { stdio: ["pipe", "pipe", "pipe"] },
  );
  let out = "";
  let err = "";
  child.stdout!.on("data", (data) => {
    out += data;
  });
  child.stderr!.on("data", (data) => {
    err += data;
  });
  const ended = new Promise<{ out: string; err: string; status: number | null }>((resolve) => {
    child.on("close", (status) => resolve({ out, err, status }));
  });
  /** Waits for the prompt of the n-th reading, counting from `from` in what was printed. */
  const prompt = async (n: number): Promise<void> => {
    while (!new RegExp(`^${n}  Lane [^\n]*: $`, "m").test(out.slice(out.lastIndexOf("\n") + 1))) {
      if (child.exitCode !== null) throw new Error(`ended: ${out}${err}`);
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
  };
  const type = (text: string): void => void child.stdin!.write(`${text}\n`);
  return { child, ended, prompt, type };
}

const piped = (lines: readonly string[], ...args: readonly string[]) => {
  const { child, ended } = walking(...args);
  child.stdin!.end(lines.map((line) => `${line}\n`).join(""));
  return ended;
};

const rows = (sheet: string): string[] => readFileSync(sheet, "utf8").trimEnd().split("\r\n");
const cells = (row: string): string[] => row.split(",");

describe("next --guide", { timeout: 120_000 }, () => {
  it("loses nothing when it is killed, and goes on from the file", async () => {
    const sheet = freshSheet();
    const first = walking("--out", sheet, "--by", "KM");
    for (const [n, shown] of ["4.99", "4,98", "5.01 V"].entries()) {
      await first.prompt(n + 1);
      first.type(shown);
    }
    await first.prompt(4);
    first.child.kill("SIGKILL");
    await first.ended;
    const kept = rows(sheet);
    expect(kept).toHaveLength(4);
    expect(kept.slice(1).map((row) => cells(row)[4])).toEqual(["4.99", "4.98", "5.01"]);
    expect(kept.slice(1).every((row) => cells(row)[9] === '"KM"')).toBe(true);

    const second = await piped(["5.00", "q"], "--out", sheet, "--resume");
    expect(second.out).toMatch(/3 readings so far/);
    expect(rows(sheet).slice(0, 4)).toEqual(kept);
    expect(rows(sheet)).toHaveLength(5);
    // What it ends with is what check says of the same file.
    const check = await runCommand([registerCheck], ["check", "--pool", pool, sheet]);
    expect(second.out).toContain(check.out);
    expect(second.status).toBe(check.status);
  });

  it("asks for another point where one can't be reached, and not for that one again", async () => {
    const { out } = await piped(["-", "-", "q"], "--out", freshSheet());
    const asked = [...out.matchAll(/^1 {2}(Lane .*?): /gm)].map(([, place]) => place);
    expect(asked).toHaveLength(3);
    expect(new Set(asked).size).toBe(3);
  });

  it("takes the last reading back from the file, and asks for it again", async () => {
    const sheet = freshSheet();
    const { out } = await piped(["4.99", "1.20", "u", "m", "5.00", "q"], "--out", sheet);
    const readings = rows(sheet).slice(1).map(cells);
    expect(readings.map((row) => row[4])).toEqual(["4.99", "5.00"]);
    expect(readings.map((row) => row[7])).toEqual(["", "yes"]);
    const second = [...out.matchAll(/^2 {2}(Lane .*?): /gm)].map(([, place]) => place);
    expect(new Set(second).size).toBe(1);
  });

  it("asks back what can't be a reading, and writes nothing", async () => {
    const sheet = freshSheet();
    const { out } = await piped(["491", "-3", "wet", "q"], "--out", sheet);
    expect(out).toContain("did you mean 4.91?");
    expect(out).toContain("below 0");
    expect(out).toContain("not a number");
    expect(rows(sheet)).toHaveLength(1);
  });

  it("takes off a line that a power loss cut short", async () => {
    const sheet = freshSheet();
    await piped(["4.99", "q"], "--out", sheet);
    const whole = readFileSync(sheet, "utf8");
    writeFileSync(sheet, `${whole}2026-06-13,1,but`);
    const { out } = await piped(["q"], "--out", sheet, "--resume");
    expect(out).toContain("cut short");
    expect(readFileSync(sheet, "utf8")).toBe(whole);
  });

  it("leaves a file alone that it did not begin, or was not told to resume", async () => {
    const sheet = freshSheet();
    writeFileSync(sheet, "lane,point,volts\n1,pod,4.9\n");
    for (const more of [[], ["--resume"]]) {
      const { status, err } = await piped(["4.99"], "--out", sheet, ...more);
      expect(status).toBe(2);
      expect(err).toMatch(/^dropwise: .*walk-\d+\.csv was not begun|is there already/);
    }
    expect(readFileSync(sheet, "utf8")).toBe("lane,point,volts\n1,pod,4.9\n");
  });
});

describe("next", () => {
  it("names the best readings first, as JSON too", async () => {
    const { out, status } = await runCommand([registerNext], ["next", "--pool", pool, "--json"]);
    expect(status).toBe(0);
    const { readings, stop } = JSON.parse(out);
    expect(stop).toBeNull();
    expect(readings.length).toBeGreaterThan(1);
    expect(readings.length).toBeLessThanOrEqual(5);
    const rates = readings.map((one: { bitsPerSecond: number }) => one.bitsPerSecond);
    expect(rates).toEqual([...rates].sort((a, b) => b - a));
    expect(readings[0].bits / readings[0].seconds).toBeCloseTo(rates[0], 12);
  });

  it("says why to stop, once every pod reads full", async () => {
    const sheet = freshSheet();
    const lines = [1, 2].flatMap((lane) =>
      ["touchpad", "button-1"].map((device) => `${lane},${device},pod,5.00`),
    );
    writeFileSync(sheet, `lane,device,point,volts\n${lines.join("\n")}\n`);
    const { out } = await runCommand([registerNext], ["next", "--pool", pool, sheet]);
    expect(out).toMatch(/^Stop here: every circuit/);
  });

  it("refuses to begin a walk with a sheet that is there", async () => {
    const args = ["next", "--guide", "--pool", pool, "other.csv"];
    const { err, status } = await runCommand([registerNext], args);
    expect(status).toBe(2);
    expect(err).toContain("--resume");
  });
});
