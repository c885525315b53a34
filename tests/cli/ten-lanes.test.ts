import { readdirSync, readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { registerCharts } from "../../src/cli/charts.ts";
import { registerCheck } from "../../src/cli/check.ts";
import { registerDecide } from "../../src/cli/decide.ts";
import { registerLog } from "../../src/cli/log.ts";
import { registerMemo } from "../../src/cli/memo.ts";
import { registerNext } from "../../src/cli/next.ts";
import { registerReady } from "../../src/cli/ready.ts";
import { registerReport } from "../../src/cli/report.ts";
import { registerRound } from "../../src/cli/round.ts";
import { registerTrend } from "../../src/cli/trend.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { answerSeason, type SeasonMessage } from "../../src/page/season-task.ts";
import { tenLanesFolder } from "../facility/ten-lanes-season.ts";
import { runCommand, tooLong } from "./run-command.ts";

/** What no answer may name: a circuit of no lane is no lane's, and nothing is called by a missing name. */
const PHANTOM =
  /lane:? (start|none|null|undefined)|none start|\bstart touchpad|\b(null|undefined|NaN)\b/i;

const folder = tenLanesFolder();
afterAll(() => rmSync(folder, { recursive: true }));
const files = ["--pool", join(folder, "pool.yaml"), join(folder, "readings.csv")];

test("check ranks the start's plug and lane 6's deck plate, and nothing that is not there", async () => {
  const { out } = await runCommand([registerCheck], ["check", "--latest", "--json", ...files]);
  const [walk] = JSON.parse(out).walks;
  // 3 devices on ten lanes, a third button on three, a turn pad on four, the start: 38 circuits.
  expect(walk.circuits).toHaveLength(38);
  const suspects = walk.connectors.filter((one: { atFault: number }) => one.atFault >= 0.5);
  expect(suspects.map((one: { connector: string }) => one.connector).sort()).toEqual([
    "deck plate",
    "start plug",
  ]);
  const { out: text } = await runCommand([registerCheck], ["check", "--latest", ...files]);
  expect(text).not.toMatch(PHANTOM);
  expect(tooLong(text)).toEqual([]);
});

test("readiness falls back on what the lane needs, and the start stands by itself", async () => {
  const args = ["ready", "--date", "2026-05-10", ...files];
  const { out } = await runCommand([registerReady], args);
  expect(out).not.toMatch(PHANTOM);
  expect(tooLong(out)).toEqual([]);
  expect(out).toMatch(/Lane 6 {2}NOT READY/);
  expect(out).toMatch(/Start {2}NOT READY/);
  const fallBacks = out.split("\n").filter((line) => line.includes("fall-back:"));
  expect(fallBacks).toHaveLength(10);
  for (const line of fallBacks)
    expect(line.trim()).toBe("fall-back: button-1, button-2 read sound, not pressed");
  // A deck plate is no spare for a wall plate: one is carried, the other left at home.
  expect(out).toContain("1 × spare: deck plate");
  expect(out).toMatch(/Left at home: spare wall plate/);
});

test("the round visits every step once, and the next reading is one that can be taken", async () => {
  const { out } = await runCommand([registerRound], ["round", ...files.slice(0, 2)]);
  expect(out).not.toMatch(PHANTOM);
  expect(tooLong(out)).toEqual([]);
  const next = await runCommand([registerNext], ["next", ...files]);
  expect(next.out).not.toMatch(PHANTOM);
});

/** What a person reads of a file: without scripts and embedded pictures and fonts. */
const readable = (text: string): string =>
  text.replaceAll(/<script[\s\S]*?<\/script>/g, "").replaceAll(/data:[^"')]*/g, "");

test("trend names the deck plate's path and the start's, and the works where they were", async () => {
  const { out } = await runCommand([registerTrend], ["trend", ...files]);
  expect(out).not.toMatch(PHANTOM);
  expect(tooLong(out)).toEqual([]);
  expect(out).toContain("Lane 6 touchpad (start end): at its limit of 4.80 V: pod read 4.61 V");
  expect(out).toContain("Start: at its limit of 4.80 V: start plug read 4.58 V");
  expect(out).toContain("Harness connector of lanes 0 to 4");
  expect(out).toContain("Lane 5 button-1 plug (start end)");
}, 200_000);

test("decide takes the start's plug and the deck plate, and no place twice", async () => {
  const { out } = await runCommand([registerDecide], ["decide", "--json", ...files]);
  const { decisions } = JSON.parse(out) as { decisions: Record<string, unknown>[] };
  const places = decisions.map(({ connector, lane, device, end, lanes }) =>
    JSON.stringify([connector, lane, device, end, lanes]),
  );
  expect(new Set(places).size).toBe(places.length);
  expect(places).toContain(JSON.stringify(["start plug", null, "start", null, []]));
  expect(places.some((place) => place.startsWith('["deck plate",6,'))).toBe(true);
}, 200_000);

test.each([
  ["charts", registerCharts, "drawn"],
  ["report", registerReport, "report.html"],
  ["memo", registerMemo, "memo"],
] as const)(
  "%s says nothing of what is not there",
  async (name, register, out) => {
    const to = join(folder, out);
    const { err, status } = await runCommand([register], [name, "--out", to, ...files]);
    expect(status, err).toBeLessThan(2);
    const paths = out.includes(".") ? [to] : readdirSync(to).map((file) => join(to, file));
    const texts = paths.filter((path) => /\.(svg|html|md)$/.test(path));
    expect(texts.length).toBeGreaterThan(0);
    for (const path of texts)
      expect(readable(readFileSync(path, "utf8")), path).not.toMatch(PHANTOM);
    if (name !== "charts") return;
    const drawn = readdirSync(to);
    const buttons = ["button-1", "button-2", "button-3"].map((one) => `${one}-start-end`);
    for (const one of ["touchpad-start-end", "touchpad-turn-end", ...buttons, "start"])
      expect(drawn).toContain(`path-${one}.svg`);
  },
  200_000,
);

test("work is logged on the start's plug, on one harness of two and on a stacked plug", async () => {
  const log = (...args: string[]) =>
    runCommand([registerLog], ["log", "cleaned", "--pool", folder, "--at", "2026-05-10", ...args]);
  const start = await log("--lane", "none", "--device", "start", "--point", "start plug");
  const harness = await log("--lane", "7", "--point", "harness");
  const stacked = await log("--lane", "4", "--device", "platform", "--point", "plug");
  for (const { out, err, status } of [start, harness, stacked]) {
    expect(status, err).toBe(0);
    expect(out).not.toMatch(PHANTOM);
  }
  const rows = readFileSync(join(folder, "work.csv"), "utf8").trim().split(/\r?\n/).slice(-3);
  // Of a group of lanes the log names the first; a stacked device's plug is its own circuit's.
  expect(rows.map((row) => row.replaceAll('"', "").split(",").slice(1, 6).join(","))).toEqual([
    "none,start,,start plug,cleaned",
    "5,,,harness,cleaned",
    "4,button-1,start,plug,cleaned",
  ]);
});

test("the page decides on the same suspects", () => {
  const text = (name: string) => readFileSync(join(folder, name), "utf8");
  const pool = readPool(text("pool.yaml"), "pool.yaml");
  if (!pool.ok) throw new Error("refused");
  const { readings } = readReadings(text("readings.csv"), pool.value, "readings.csv");
  const latest = readings.filter(({ takenAt }) => takenAt?.day === "2026-05-09");
  const said: SeasonMessage[] = [];
  answerSeason({ task: "decide", pool: pool.value, readings: latest, work: [] }, (one) =>
    said.push(one),
  );
  const last = said.at(-1)!;
  if (!("answer" in last) || !("readAgain" in last.answer)) throw new Error(JSON.stringify(last));
  const places = last.answer.decisions.map(({ place }) => place.connector);
  expect(places.slice(0, 2).sort()).toEqual(["deck plate", "start plug"]);
}, 200_000);
