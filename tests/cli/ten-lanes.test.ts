import { rmSync } from "node:fs";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { registerCheck } from "../../src/cli/check.ts";
import { registerNext } from "../../src/cli/next.ts";
import { registerReady } from "../../src/cli/ready.ts";
import { registerRound } from "../../src/cli/round.ts";
import { tenLanesFolder } from "../facility/ten-lanes-season.ts";
import { runCommand } from "./run-command.ts";

/** What no answer may name: a circuit of no lane is no lane's, and nothing is called by a missing name. */
const PHANTOM = /lane (start|none|null|undefined)|none start|\bstart touchpad/i;

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
});

test("readiness falls back on what the lane needs, and the start stands by itself", async () => {
  const args = ["ready", "--date", "2026-05-10", ...files];
  const { out } = await runCommand([registerReady], args);
  expect(out).not.toMatch(PHANTOM);
  expect(out).toMatch(/Lane 6 {2}NOT READY/);
  expect(out).toMatch(/Start {2}NOT READY/);
  const fallBacks = out.split("\n").filter((line) => line.includes("fall-back:"));
  expect(fallBacks).toHaveLength(10);
  for (const line of fallBacks) expect(line.trim()).toBe("fall-back: button-1, button-2 proven");
  // A deck plate is no spare for a wall plate.
  expect(out).toContain("spare: deck plate");
  expect(out).toContain("spare: wall plate");
});

test("the round visits every step once, and the next reading is one that can be taken", async () => {
  const { out } = await runCommand([registerRound], ["round", ...files.slice(0, 2)]);
  expect(out).not.toMatch(PHANTOM);
  const next = await runCommand([registerNext], ["next", ...files]);
  expect(next.out).not.toMatch(PHANTOM);
});
