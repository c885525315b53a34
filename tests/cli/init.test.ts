import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Ajv2020 } from "ajv/dist/2020.js";
import { afterEach, beforeEach, expect, test } from "vitest";
import { parse } from "yaml";
import { loadPool, loadReadings } from "../../src/cli/files.ts";
import { registerInit } from "../../src/cli/init.ts";
import { poolSchema } from "../../src/intake/pool/pool-schema.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { runCommand } from "./run-command.ts";

let folder = "";
const at = (name: string): string => join(folder, name);
const text = (name: string): string => readFileSync(at(name), "utf8");
const init = (...args: string[]) => runCommand([registerInit], ["init", "--dir", folder, ...args]);
const kestrel = ["--pool", "Kestrel Bay", "--lanes", "3", "--devices", "touchpad, button-1"];

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
  const again = await init("--pool", "Other");
  expect(again.status).toBe(2);
  expect(again.err).toBe(`dropwise: ${at("pool.yaml")} is there already; --force overwrites it\n`);
  expect(text("pool.yaml")).toBe(before);
  expect(readdirSync(folder).sort()).toEqual(["pool.schema.json", "pool.yaml"]);
  expect((await init("--pool", "Other", "--force")).status).toBe(0);
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
  ["--pool", ""],
])("%s '%s' is one clear sentence", async (...args) => {
  const { status, err } = await init(...args);
  expect(status).toBe(2);
  expect(err).toMatch(/^dropwise: dropwise init, \w.*\n$/);
  expect(readdirSync(folder)).toEqual([]);
});

test("names that YAML would take for something else come back as names", async () => {
  await init("--pool", "yes: no # 1", "--devices", "null,1e3,- a");
  const pool = await loadPool(at("pool.yaml"));
  expect([pool.name, ...pool.devices]).toEqual(["yes: no # 1", "null", "1e3", "- a"]);
});
