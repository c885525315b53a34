import { describe, expect, test } from "vitest";
import { parse } from "yaml";
import { type NewPool, poolFileText } from "../../../src/intake/pool/pool-file-text.ts";
import { readPool } from "../../../src/intake/pool/read-pool.ts";

const least: NewPool = {
  pool: "Kestrel Bay",
  lanes: 8,
  devices: ["touchpad", { name: "start", lanes: "none" }],
};
const made = (): string => poolFileText(least, "./pool.schema.json");

test("the file reads as what was said alone does: all else stands at its default", () => {
  expect(readPool(made(), "p")).toEqual(readPool(JSON.stringify(least), "p"));
  const more: NewPool = {
    ...least,
    ends: ["start", "turn"],
    meters: [{ name: "deck", load_ohms: 1000 }, { name: "bench" }],
    chain: [
      { point: "plate", connector: "wall plate", shared_by: "lane", wire_ohms: 2 },
      { point: "pod", connector: "pod terminals", shared_by: "device" },
    ],
    meet: { readjust_degrees: 3 },
  };
  const read = readPool(poolFileText(more, null), "p");
  expect(read.ok && { ...read.value, meet: undefined }).toEqual({
    ...(readPool(JSON.stringify({ ...more, meet: undefined }), "p") as { value: object }).value,
    meet: undefined,
  });
  expect(read.ok && read.value.meet?.pads.readjustDegrees).toBe(3);
});

test("editors are told where the schema is, if it is anywhere", () => {
  expect(made().split("\n")[0]).toBe("# yaml-language-server: $schema=./pool.schema.json");
  expect(poolFileText(least, null)).not.toContain("yaml-language-server");
  expect(poolFileText(least, null)).toMatch(/^# A facility's timing path, for dropwise\./);
});

test("every key has one line of why before it", () => {
  const lines = made().split("\n");
  for (const key of [
    "pool",
    "lanes",
    "devices",
    "supply",
    "meters",
    "chain",
    "contact",
    "model",
    "limit",
  ]) {
    const at = lines.findIndex((line) => line.startsWith(`${key}:`));
    expect(lines[at - 1], key).toMatch(/^ *# +\S/);
  }
  const emf = lines.findIndex((line) => line.startsWith("  emf:"));
  expect(lines[emf - 1]).toMatch(/^ {2}# .*\[V\]\.$/);
  expect(lines[emf]).toBe("  emf: 5");
});

describe("sections", () => {
  test("are set apart by a blank line", () => {
    const text = made();
    expect(text).toMatch(/\n\n# .*\npool: Kestrel Bay\n\n/);
    expect(text.endsWith("\n")).toBe(true);
    expect(text).not.toMatch(/\n\n\n/);
  });

  test("that are off by default stand there asleep, and awake they read", () => {
    const text = made();
    const lines = text.split("\n");
    const asleep = lines.findIndex((line) => line.startsWith("# meet:"));
    expect(asleep).toBeGreaterThan(0);
    expect(text).not.toMatch(/^meet:/m);
    expect(Object.keys(parse(text))).not.toContain("meet");
    const end = lines.indexOf("", asleep);
    const awake = lines.slice(asleep, end).map((line) => line.replace(/^# /, ""));
    // A line that was a comment for other reasons stays one.
    for (const line of lines.slice(asleep, end)) expect(line).toMatch(/^#/);
    const section = parse(awake.filter((line) => !/^ *# /.test(line)).join("\n"));
    expect(section.meet.walk_days).toBeGreaterThan(0);
    expect(section.meet).not.toHaveProperty("readjust_degrees");
  });

  test("of the first version are written into no new file", () => {
    const text = made();
    for (const old of ["misread", "limit_volts"])
      expect(text).not.toMatch(new RegExp(`^#? ?${old}:`, "m"));
  });

  // What only the facility itself can fill in: needed keys, nobody's default.
  test("that only the facility can fill in are left out", () => {
    const text = made();
    for (const key of ["lane_needs", "supplies"])
      expect(text).not.toMatch(new RegExp(`^(# )?${key}:`, "m"));
  });
});

describe("lists of mappings", () => {
  test("one entry a line, behind a legend of their keys with their defaults", () => {
    const lines = made().split("\n");
    const at = lines.indexOf("meters:");
    expect(lines[at + 1]).toMatch(/^ {2}- \{ name: deck/);
    const legend = lines.slice(0, at).reverse();
    const keys = legend.slice(
      0,
      legend.findIndex((line) => !line.startsWith("#   ")),
    );
    expect(keys.map((line) => /^# {3}(\w+):/.exec(line)?.[1]).toReversed()).toEqual([
      "name",
      "load_ohms",
      "resolution",
      "noise",
      "off_after",
    ]);
    expect(keys.find((line) => line.includes("load_ohms"))).toMatch(/Default: unknown\.$/);
    expect(keys.find((line) => line.includes("off_after"))).not.toContain("Default");
  });

  test("a plain list stands on its key's line", () => {
    const text = made();
    expect(text).toContain("\ndevices: [ touchpad, { name: start, lanes: none } ]\n");
    expect(text).toContain("\nlanes: 8\n");
    expect(text).toContain("\nends: []\n");
  });
});
