import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { Ajv2020 } from "ajv/dist/2020.js";
import { expect, test } from "vitest";
import { parse } from "yaml";
import { poolJsonSchema } from "../../../src/intake/pool/pool-schema.ts";
import { readPool } from "../../../src/intake/pool/read-pool.ts";

const committed = JSON.parse(readFileSync("datasets/pool.schema.json", "utf8"));
// ajv is a JSON Schema validator that knows nothing of zod.
const validate = new Ajv2020({ allErrors: true }).compile(committed);
const least = { pool: "Kestrel Bay", lanes: 8, devices: ["touchpad"] };

test("the schema that ships is the one that the reader's own schema gives: npm run schema", () => {
  expect(committed).toEqual(poolJsonSchema());
});

test("every pool file of the datasets is accepted, by the schema and by the reader", () => {
  const files = readdirSync("datasets", { recursive: true, encoding: "utf8" }).filter((path) =>
    /pool\.ya?ml$/.test(path),
  );
  for (const file of files) {
    const text = readFileSync(join("datasets", file), "utf8");
    expect(validate(parse(text)), JSON.stringify(validate.errors)).toBe(true);
    expect(readPool(text, file).ok).toBe(true);
  }
});

test("a whole pool file is accepted", () => {
  const link = { point: "pod", connector: "pod terminals", shared_by: "device", fouled: 0.12 };
  expect(
    validate({
      ...least,
      lanes: [1, 2, "dive"],
      supply: { emf: 5, emf_sd: 0.05, source_ohms: 0 },
      meters: [{ name: "deck", load_ohms: "unknown", off_after: [45, 60] }],
      chain: [{ ...link, wire: { awg: 22, metres: 30 } }],
      contact: { sound: { median_ohms: 0.2 }, fouled: {} },
      misread: 0.01,
      limit_volts: 4.8,
      timer_input: { low_max: 0.8, high_min: 2 },
    }),
  ).toBe(true);
});

test.each([
  ["nothing", {}],
  ["no lanes at all", { ...least, lanes: [] }],
  ["a hundred lanes", { ...least, lanes: 100 }],
  ["half a lane", { ...least, lanes: 1.5 }],
  ["no devices", { ...least, devices: [] }],
  ["an unknown key", { ...least, suply: {} }],
  ["an unknown key inside", { ...least, supply: { volts: 5 } }],
  ["a negative supply", { ...least, supply: { emf: -5 } }],
  ["a chance over 1", { ...least, misread: 1.2 }],
  ["a word for a number", { ...least, limit_volts: "4.8" }],
  ["a link without a name", { ...least, chain: [{ point: "pod" }] }],
  ["one end of a window", { ...least, meters: [{ name: "deck", off_after: [45] }] }],
])("%s is refused, by the schema and by the reader alike", (_, file) => {
  expect(validate(file)).toBe(false);
  expect(readPool(JSON.stringify(file), "pool.json").ok).toBe(false);
});
