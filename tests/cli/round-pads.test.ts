import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { registerPads } from "../../src/cli/pads.ts";
import { registerRound } from "../../src/cli/round.ts";
import { runCommand } from "./run-command.ts";

let folder = "";
const file = (name: string): string => join(folder, name);
const pool = (more = "") =>
  writeFileSync(
    file("pool.yaml"),
    `pool: Kestrel Bay\nmodel: plain\nlanes: 8\ndevices: [touchpad, button-1, button-2]\n${more}`,
  );
const run = (...args: string[]) =>
  runCommand([registerRound, registerPads], [...args, "--pool", file("pool.yaml")]);

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "dropwise-deck-"));
  pool();
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

describe("dropwise round", () => {
  test("writes the sheet to print and the sheet to type into", async () => {
    const done = await run("round", "--date", "2026-06-12", "--by", "KM", "--out", file("sheets"));
    expect(done).toMatchObject({ status: 0, err: "" });
    expect(done.out).toContain("96 readings in 9 windows");
    expect(readFileSync(file("sheets/round.html"), "utf8")).toContain("Kestrel Bay: round of");
    const csv = readFileSync(file("sheets/round.csv"), "utf8");
    expect(csv.split("\r\n").length).toBe(1 + 96 + 1);
  });

  test("as JSON it is one value", async () => {
    const done = await run("round", "--date", "2026-06-12", "--json");
    const round = JSON.parse(done.out) as { windows: unknown[]; expected: { point: string }[] };
    expect(round.windows.length).toBe(9);
    expect(round.expected.map((one) => one.point)).toEqual(["timer", "harness", "plate", "pod"]);
  });

  test.each([
    [["--date", "12.06.2026"], "--date is '12.06.2026'"],
    [["--date", "2026-02-30"], "--date is '2026-02-30'"],
    [["--meter", "bench"], "the pool file has deck"],
    [["--from", "left"], "one of first, last"],
    [["--pool", "nowhere.yaml"], "nowhere.yaml"],
  ])("%j is one sentence and exit 2", async (args, words) => {
    const done = await runCommand([registerRound], ["round", "--pool", file("pool.yaml"), ...args]);
    expect(done.status).toBe(2);
    expect(done.err).toContain(words);
    expect(done.err.trim().split("\n").length).toBe(1);
  });

  test("its help carries an example", async () => {
    const done = await run("round", "--help");
    expect(done.out).toContain("$ dropwise round --date");
  });
});

describe("dropwise pads", () => {
  const log =
    "taken_at,water_f,strokes,lane,soaked_minutes\n2026-05-02,78,6,1,12\n2026-06-13,81,,,\n";

  test("three degrees Fahrenheit are due where the facility works in Fahrenheit, only there", async () => {
    writeFileSync(file("pads.csv"), log);
    pool("meet: { temperature_unit: F, readjust_degrees: 3 }\n");
    const due = await run("pads", file("pads.csv"), "--date", "2026-06-13");
    expect(due.status).toBe(1);
    expect(due.out).toContain("the pads are DUE: the water changed by 3.0 °F");
    pool("meet: { readjust_degrees: 3 }\n");
    const fine = await run("pads", file("pads.csv"), "--date", "2026-06-13", "--json");
    expect(fine.status).toBe(0);
    expect(JSON.parse(fine.out)).toMatchObject({ state: "fine", unit: "C", strokes: 6 });
  });

  test("a row that can't be used is named on standard error", async () => {
    writeFileSync(file("pads.csv"), `${log}2026-06-14,hot,,,\n`);
    const done = await run("pads", file("pads.csv"), "--date", "2026-06-14");
    expect(done.err).toContain("line 4: water_f is 'hot'");
  });

  test("a log without its unit is refused", async () => {
    writeFileSync(file("pads.csv"), "taken_at,water\n2026-05-02,27\n");
    const done = await run("pads", file("pads.csv"));
    expect(done.status).toBe(2);
    expect(done.err).toContain("must say Celsius or Fahrenheit");
  });
});
