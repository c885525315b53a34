/** Writes the pool file's JSON Schema beside this file: `npm run schema`. */
import { writeFileSync } from "node:fs";
import { poolJsonSchema } from "../src/intake/pool/pool-schema.ts";

const target = new URL("pool.schema.json", import.meta.url);
writeFileSync(target, `${JSON.stringify(poolJsonSchema(), null, 2)}\n`);
