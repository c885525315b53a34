import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, afterEach, beforeAll, expect, test } from "vitest";
import { registerCheck } from "../../src/cli/check.ts";
import type { Register } from "../../src/cli/command.ts";
import { registerDecide } from "../../src/cli/decide.ts";
import { registerLearn } from "../../src/cli/learn.ts";
import { registerLog } from "../../src/cli/log.ts";
import { registerNext } from "../../src/cli/next.ts";
import { registerPads } from "../../src/cli/pads.ts";
import { findPoolFile } from "../../src/cli/pool-folder.ts";
import { registerReady } from "../../src/cli/ready.ts";
import { registerRound } from "../../src/cli/round.ts";
import { registerTouches } from "../../src/cli/touches.ts";
import { registerTrend } from "../../src/cli/trend.ts";
import { runCommand, unbroken } from "./run-command.ts";

const folder = mkdtempSync(join(tmpdir(), "dropwise-folder-"));
const at = (name: string): string => join(folder, name);
const sound = "lane,point,volts\n1,pod,4.99\n2,pod,4.98\n";

beforeAll(() => {
  mkdirSync(at("pool/readings/deep"), { recursive: true });
  writeFileSync(at("pool/pool.yaml"), "pool: Kestrel Bay\nlanes: 2\ndevices: [touchpad]\n");
  writeFileSync(at("pool/readings/2026-05-02.csv"), sound);
  writeFileSync(at("pool/readings/2026-05-09.csv"), sound);
  writeFileSync(at("pool/readings/notes.md"), "not a sheet");
  writeFileSync(
    at("pool/work.csv"),
    "done_at,lane,device,point,action\n2026-05-04,1,,plate,cleaned\n",
  );
  writeFileSync(at("pool/touches.csv"), "lane,device,kind,tried,registered\n1,,fingertip,9,9\n");
  writeFileSync(at("pool/pads.csv"), "taken_at,water_c,strokes\n2026-05-04,26,3\n");
});
afterAll(() => rmSync(folder, { recursive: true }));
const before = process.env["DROPWISE_POOL"];
afterEach(() => {
  process.env["DROPWISE_POOL"] = before ?? "";
});

test("the nearest folder upwards holds the pool", async () => {
  const here = at("pool/readings/deep");
  const found = await findPoolFile(undefined, { here, named: undefined });
  expect(readFileSync(found!, "utf8")).toContain("Kestrel Bay");
  expect(await findPoolFile(undefined, { here: folder, named: undefined })).toBeNull();
});

test("an option stands before the environment, and the environment before the folder", async () => {
  const standing = { here: at("pool"), named: at("elsewhere/pool.yaml") };
  expect(await findPoolFile(undefined, standing)).toBe(at("elsewhere/pool.yaml"));
  expect(await findPoolFile(at("pool"), standing)).toBe(at("pool/pool.yaml"));
  await expect(findPoolFile(folder, standing)).rejects.toThrow("holds no pool.yaml");
});

const commands: readonly [string, Register, readonly string[], RegExp][] = [
  ["check", registerCheck, [], /readings\/ \(2 sheets\), work\.csv \(1 entry\)/],
  ["next", registerNext, [], /readings\/ \(2 sheets\), work\.csv/],
  ["trend", registerTrend, [], /readings\/ \(2 sheets\), work\.csv/],
  ["decide", registerDecide, [], /readings\/ \(2 sheets\), work\.csv/],
  ["learn", registerLearn, [], /readings\/ \(2 sheets\), work\.csv/],
  ["touches", registerTouches, [], /touches\.csv, readings\/ \(2 sheets\), work\.csv/],
  ["pads", registerPads, ["--date", "2026-05-09"], /pads\.csv/],
  [
    "ready",
    registerReady,
    ["--date", "2026-05-10"],
    /readings\/ \(2 sheets\), touches\.csv, pads\.csv, work\.csv/,
  ],
  ["round", registerRound, ["--date", "2026-05-10"], /pool\.yaml/],
];

test.each(commands)("%s uses the pool's own files and says so in one line", async (...row) => {
  const [name, register, args, said] = row;
  process.env["DROPWISE_POOL"] = at("pool");
  const { err } = await runCommand([register], [name, ...args]);
  const lines = unbroken(err)
    .split("\n")
    .filter((line) => line.startsWith("From "));
  expect(lines).toHaveLength(1);
  expect(lines[0]).toMatch(said);
});

test("what is named replaces the folder's own", async () => {
  const args = ["check", "--pool", at("pool"), at("pool/readings/2026-05-09.csv")];
  const { out, err } = await runCommand([registerCheck], args);
  expect(err).not.toContain("readings/");
  expect(out).toContain("2 readings of 2 circuits");
});

test("work is logged beside the pool, its names checked, wherever one stands", async () => {
  process.env["DROPWISE_POOL"] = at("pool");
  const log = (lane: string) =>
    runCommand([registerLog], ["log", "cleaned", "--lane", lane, "--point", "plate"]);
  const wrong = await log("99");
  expect(wrong.status).toBe(2);
  expect(wrong.err).toContain("lane is '99'");
  expect((await log("2")).status).toBe(0);
  expect(readFileSync(at("pool/work.csv"), "utf8").trim().split("\n")).toHaveLength(3);
  expect(existsSync("work.csv")).toBe(false);
});
