import { describe, expect, test } from "vitest";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readFacility } from "../../src/intake/read-facility.ts";
import { wholeFiles, yamlNames } from "./make-yaml.ts";
import { tryYaml } from "./try-yaml.ts";

/** Inputs of each kind of file; `npm run fuzz` tries as many as you like. */
const inputs = 1000;

test("the files that the inputs are made from are whole", () => {
  const read = [
    ...wholeFiles.pool.map((file) => readPool(JSON.stringify(file), "a")),
    ...wholeFiles.facility.map((file) => readFacility(JSON.stringify(file), "a")),
  ];
  expect(read.filter(({ ok }) => !ok)).toEqual([]);
});

describe.each(yamlNames)("%s file, any YAML, any bytes", (name) => {
  test("nothing throws; what is taken has numbers, what is not is said in words", () => {
    const wrong = Array.from({ length: inputs }, (_, seed) => ({
      seed,
      fault: tryYaml(name, seed),
    }));
    expect(wrong.filter(({ fault }) => fault !== null).slice(0, 3)).toEqual([]);
  });
});
