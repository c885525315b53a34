/** Writes what the code says of its files beside this one, schemas and defaults: `npm run schema`. */
import { writeFileSync } from "node:fs";
import { poolJsonSchema } from "../src/intake/pool/pool-schema.ts";
import { answerSchemas } from "../src/report/answer-schemas.ts";
import { CHECK_SCHEMA } from "../src/report/check-json.ts";
import { checkSchema } from "../src/report/check-schema.ts";
import { assumptionsTable } from "./assumptions-table.ts";

const write = (name: string, schema: unknown): void =>
  writeFileSync(
    new URL(`${name}.schema.json`, import.meta.url),
    `${JSON.stringify(schema, null, 2)}\n`,
  );

write("pool", poolJsonSchema());
write(CHECK_SCHEMA, checkSchema);
for (const [name, schema] of answerSchemas) write(name, schema);
writeFileSync(new URL("assumptions.md", import.meta.url), assumptionsTable());
