import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Ajv2020 } from "ajv/dist/2020.js";
import { afterEach, beforeEach, expect, test } from "vitest";
import { parse } from "yaml";
import { registerCheck } from "../../src/cli/check.ts";
import { loadPool, loadReadings } from "../../src/cli/files.ts";
import { registerInit } from "../../src/cli/init.ts";
import { askAll } from "../../src/cli/start/questions.ts";
import { poolSchema } from "../../src/intake/pool/pool-schema.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { runCommand } from "./run-command.ts";

let folder = "";
const at = (name: string): string => join(folder, name);
const text = (name: string): string => readFileSync(at(name), "utf8");
const init = (...args: string[]) => runCommand([registerInit], ["init", "--dir", folder, ...args]);
const kestrel = ["--name", "Kestrel Bay", "--lanes", "3", "--devices", "touchpad, button-1"];

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "dropwise-init-"));
});
afterEach(() => rmSync(folder, { recursive: true }));

test("the pool file written is the pool that was asked for, with every default", async () => {
  expect((await init(...kestrel)).status).toBe(0);
  const least = "pool: Kestrel Bay\nlanes: 3\ndevices: [touchpad, button-1]";
  expect(readPool(text("pool.yaml"), "p")).toEqual(readPool(least, "p"));
});

test("every key of the file stands in it, with a line of why above it", async () => {
  await init(...kestrel);
  const lines = text("pool.yaml").split("\n");
  // Not in a new file: what stands in place of supply, the first version's keys, what has no default.
  const leftOut = new Set(["supplies", "misread", "limit_volts", "lane_needs"]);
  for (const key of Object.keys(poolSchema.shape).filter((one) => !leftOut.has(one))) {
    const line = lines.findIndex((one) => one.startsWith(`${key}:`) || one.startsWith(`# ${key}:`));
    expect(line, key).toBeGreaterThan(0);
    expect(lines[line - 1], key).toMatch(/^# /);
  }
});

test("with the comment marks of its sleeping sections taken away it is still a pool file", async () => {
  await init(...kestrel);
  const paragraphs = text("pool.yaml").split("\n\n");
  const isAsleep = (one: string): boolean => one.split("\n").every((line) => line.startsWith("#"));
  const awake = paragraphs
    .slice(1)
    .map((one) =>
      isAsleep(one) ? one.split("\n").slice(1).join("\n").replaceAll(/^# ?/gm, "") : one,
    );
  const pool = readPool(awake.join("\n\n"), "p");
  expect(pool.ok ? pool.value.timerInput : pool.error).toEqual({ lowMax: 0.8, highMin: 2 });
});

test("the schema that the file names lies beside it, and accepts it", async () => {
  await init(...kestrel);
  const [first] = text("pool.yaml").split("\n");
  expect(first).toBe("# yaml-language-server: $schema=./pool.schema.json");
  const validate = new Ajv2020().compile(JSON.parse(text("pool.schema.json")));
  expect(validate(parse(text("pool.yaml")))).toBe(true);
});

test("the sheet is empty, fits the pool, and takes a value", async () => {
  await init(...kestrel);
  const pool = await loadPool(at("pool.yaml"));
  const sheet = await loadReadings([at("readings.csv")], pool);
  expect(sheet).toMatchObject({ readings: [], rejected: [], warnings: [], rows: { in: 0 } });
  expect(text("readings.csv").split("\r\n").slice(0, 2)).toEqual([
    "lane,device,timer,harness,plate,pod,taken_at,by,note",
    "1,touchpad,,,,,,,",
  ]);
});

test("nothing that is there is overwritten without --force, and then nothing new is written", async () => {
  await init(...kestrel);
  rmSync(at("readings.csv"));
  const before = text("pool.yaml");
  const again = await init("--name", "Other");
  expect(again.status).toBe(2);
  expect(again.err).toBe(`dropwise: ${at("pool.yaml")} is there already; --force overwrites it\n`);
  expect(text("pool.yaml")).toBe(before);
  expect(readdirSync(folder).sort()).toEqual(["pool.schema.json", "pool.yaml", "sample"]);
  expect((await init("--name", "Other", "--force")).status).toBe(0);
  expect(text("pool.yaml")).toContain("pool: Other");
});

test.each([
  [
    ["--lanes", "0,1,dive"],
    [0, 1, "dive"],
  ],
  [
    ["--lanes", "2"],
    [1, 2],
  ],
])("lanes %j", async (args, lanes) => {
  await init(...args);
  expect((await loadPool(at("pool.yaml"))).lanes).toEqual(lanes);
});

test.each([
  ["--lanes", "100"],
  ["--lanes", "1,1"],
  ["--devices", ""],
  ["--name", ""],
])("%s '%s' is one clear sentence", async (...args) => {
  const { status, err } = await init(...args);
  expect(status).toBe(2);
  expect(err).toMatch(/^dropwise: dropwise init, \w.*\n$/);
  expect(readdirSync(folder)).toEqual([]);
});

test("what was said of meter, starts and harnesses stands in the file", async () => {
  const said = ["--lanes", "0-3", "--starts", "start", "--groups", "0,1;2-3"];
  const pads = ["--readjust", "5 F", "--soak", "20"];
  await init(
    ...said,
    "--load",
    "1.5k",
    "--off",
    "90-110",
    "--devices",
    "touchpad,button-1",
    ...pads,
  );
  const pool = await loadPool(at("pool.yaml"));
  expect(pool.lanes).toEqual([0, 1, 2, 3]);
  expect(pool.meters[0]).toMatchObject({ loadOhms: 1500, offAfter: [90, 110] });
  expect(pool.meet?.pads).toMatchObject({ unit: "F", readjustDegrees: 5, soakMinutes: 20 });
  const start = pool.circuits.find(({ device }) => device === "start");
  expect(start).toMatchObject({ lane: null });
  expect(start?.path.map(({ point }) => point)).toEqual(["timer", "start"]);
  const pad = pool.circuits.find(({ lane, device }) => lane === 2 && device === "touchpad");
  expect(pad?.path.map(({ point }) => point)).toEqual(["timer", "harness", "plate", "pod"]);
  const sharing = pad?.path[1]?.connector.circuits.map((i) => pool.circuits[i]?.lane);
  expect(new Set(sharing)).toEqual(new Set([2, 3]));
});

test("devices at the far end are circuits of their own", async () => {
  await init("--lanes", "2", "--ends", "start,turn", "--far-devices", "touchpad");
  const { circuits } = await loadPool(at("pool.yaml"));
  expect(circuits.map(({ lane, end }) => `${lane} ${end}`)).toEqual([
    "1 start",
    "1 turn",
    "2 start",
    "2 turn",
  ]);
});

test("answers that mean nothing are asked back in one sentence", async () => {
  for (const wrong of [
    ["--load", "plenty"],
    ["--off", "a minute"],
    ["--far-devices", "touchpad"],
    ["--soak", "a while"],
    ["--readjust", "a lot"],
  ]) {
    const { status, err } = await init(...wrong);
    expect(status).toBe(2);
    expect(err.trim().split("\n")).toHaveLength(1);
  }
});

test("what is asked: an empty line says nothing, the end of the lines leaves the rest", async () => {
  const typed = ["Kestrel Bay", "3", "", ""];
  const said: string[] = [];
  const lines = typed[Symbol.iterator]();
  const standard = {
    ...{ name: "Our pool", lanes: "8", devices: "touchpad", ends: "", farDevices: "" },
    ...{ starts: "", groups: "", load: "", off: "", readjust: "", soak: "" },
  };
  const answers = await askAll(
    standard,
    { next: async () => lines.next() as IteratorResult<string> },
    (text) => void said.push(text),
    () => null,
  );
  expect(answers).toEqual({ ...standard, name: "Kestrel Bay", lanes: "3" });
  expect(said.join("")).not.toContain("far end");
  for (const line of said.join("").split("\n")) expect(line.length).toBeLessThanOrEqual(80);
});

test("a pool just begun has no reading yet, and check says what to do about it", async () => {
  await init(...kestrel);
  const { err, status } = await runCommand([registerCheck], ["check", "--pool", folder]);
  expect(status).toBe(2);
  expect(err).toContain("readings.csv: no reading yet: type volts into it");
  expect(err).toContain("dropwise import FILE");
});

test("an answer that can't be is asked for once more, and what was said before it stands", () => {
  const typed = ["Kestrel Bay", "1,1", "3", "touchpad", "", "", "", "plenty", "10M"];
  const input = `${typed.join("\n")}\n\n\n\n`;
  const args = ["src/cli/main.ts", "init", "--ask", "--dir", folder];
  const done = spawnSync("node_modules/.bin/tsx", args, { input, encoding: "utf8" });
  expect(done.status, done.stderr).toBe(0);
  expect(done.stdout).toContain("The meter's load is 'plenty': ohms such as 1000 or 10M");
  for (const line of done.stdout.split("\n")) expect(line.length, line).toBeLessThanOrEqual(80);
  const pool = readPool(text("pool.yaml"), "p");
  expect(pool.ok && [pool.value.lanes, pool.value.meters[0]?.loadOhms]).toEqual([[1, 2, 3], 1e7]);
});

test("the example is a whole walk of this pool, one contact of it bad", async () => {
  await init(...kestrel, "--load", "1000");
  const pool = await loadPool(at("pool.yaml"));
  const { readings, rejected } = await loadReadings([at("sample/walk.csv")], pool);
  expect(rejected).toEqual([]);
  expect(readings).toHaveLength(6 * 4);
  // Ohm's law: 5 V over 1000 + 120 ohm and 3.8 ohm of path leaves 4.45 V.
  expect(readings.filter(({ volts }) => volts < 4.8).map(({ volts }) => volts)).toEqual([4.45]);
});

test("names that YAML would take for something else come back as names", async () => {
  await init("--name", "yes: no # 1", "--devices", "null,1e3,- a");
  const pool = await loadPool(at("pool.yaml"));
  expect([pool.name, ...pool.devices]).toEqual(["yes: no # 1", "null", "1e3", "- a"]);
});
