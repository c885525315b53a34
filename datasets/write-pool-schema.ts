/** Writes the JSON Schemas of the pool file and of `check --json` beside this file: `npm run schema`. */
import { writeFileSync } from "node:fs";
import { poolJsonSchema } from "../src/intake/pool/pool-schema.ts";
import { CHECK_SCHEMA } from "../src/report/check-json.ts";
import { checkSchema } from "../src/report/check-schema.ts";

const write = (name: string, schema: unknown): void =>
  writeFileSync(
    new URL(`${name}.schema.json`, import.meta.url),
    `${JSON.stringify(schema, null, 2)}\n`,
  );

write("pool", poolJsonSchema());
write(CHECK_SCHEMA, checkSchema);
