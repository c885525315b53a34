import { readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import { expect, test } from "vitest";
import { answerSchemas } from "../../src/report/answer-schemas.ts";
import { learnJson } from "../../src/report/learn-json.ts";

/** What each command prints is held against its schema in tests/season/doors.test.ts. */

const strict = () => new Ajv2020({ allErrors: true, allowUnionTypes: true, strict: true });

test.each([...answerSchemas])(
  "%s is published as it is, under a name of its own",
  (name, schema) => {
    const file = new URL(`../../datasets/${name}.schema.json`, import.meta.url);
    expect(JSON.parse(readFileSync(file, "utf8"))).toEqual(schema);
    expect(schema["$id"]).toBe(`https://dropwise.example/schemas/${name}.schema.json`);
    expect(() => strict().compile(schema)).not.toThrow();
  },
);

test("what learn prints fits; without its walk it does not", () => {
  const fits = strict().compile(answerSchemas.get("dropwise-learn-1")!);
  const said = learnJson("Kestrel Bay", { walks: 6, gain: 1.5, numbers: [] } as never, "w", []);
  expect(fits(said)).toBe(true);
  expect(fits({ ...said, walk: undefined })).toBe(false);
});
