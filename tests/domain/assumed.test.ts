import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { assumptionsTable, record } from "../../datasets/assumptions-table.ts";
import { assumedAgeing } from "../../src/domain/assumed-ageing.ts";
import { connectorRanges } from "../../src/domain/assumed-connectors.ts";
import { connectorDefaults } from "../../src/domain/costs.ts";

const figures = Object.values(record).flat();

test("every figure has key, meaning, source and a value that the file may say", () => {
  expect(figures.length).toBeGreaterThan(60);
  for (const { key, meaning, source, value, least, most } of figures) {
    expect(key, meaning).toMatch(/^[a-z][a-z0-9_]*$/);
    expect(meaning.length, key).toBeGreaterThan(10);
    expect(source.length, key).toBeGreaterThan(5);
    expect(value, key).toBeGreaterThanOrEqual(least);
    expect(value, key).toBeLessThanOrEqual(most);
  }
});

test("ranges hold their value: a multiple of a connector's 1, any other the value itself", () => {
  const multiples = new Set<unknown>(Object.values(connectorRanges));
  for (const one of figures) {
    if (!("low" in one)) continue;
    const value = multiples.has(one) ? 1 : one.value;
    expect(one.low, one.key).toBeLessThanOrEqual(value);
    expect(one.high, one.key).toBeGreaterThanOrEqual(value);
  }
});

test("the table in the documents is the record's own", () => {
  expect(readFileSync("datasets/assumptions.md", "utf8")).toBe(assumptionsTable());
});

test("connectors cost what the record says, by who passes through them", () => {
  expect(connectorDefaults.pool.part).toBe(260);
  expect(connectorDefaults.lanes).toEqual(connectorDefaults.lane);
  expect(connectorDefaults.device.cleanMinutes).toBe(8);
});

describe("no second copy", () => {
  const sources = readdirSync("src", { recursive: true, encoding: "utf8" })
    .filter((path) => /\.ts$/.test(path) && !/assumed/.test(path))
    .map((path) => ({ path, text: readFileSync(`src/${path}`, "utf8") }));

  // What once stood in two or three files, as those files wrote it.
  test.each([
    ["film before cleanings", /\b2 \/ 3\b(?=[^)]*\b(?:cure|film|CURE|FILM))|alpha: 2, beta: 1/],
    ["scatter from walk to walk", new RegExp(`\\b${assumedAgeing.scatter.value}\\b.*scatter`, "i")],
    ["what heals by itself", /(?:HEALS|MENDS)\s*=\s*0\.\d/],
    ["weeks of the prior", /(?:PRIOR_WEEKS|WEEKS_OF_PRIOR)\s*=\s*\d/],
  ])("of %s, but where the older memo is made", (_, copy) => {
    const copies = sources.filter(({ text }) => copy.test(text)).map(({ path }) => path);
    expect(copies.filter((path) => !path.startsWith("decision"))).toEqual([]);
  });
});
