/** Writes the made files of datasets/kestrel-bay: `npm run demo`. */
import { writeFileSync } from "node:fs";
import { demoFiles } from "./demo-files.ts";

for (const [name, text] of Object.entries(demoFiles())) {
  writeFileSync(new URL(`kestrel-bay/${name}`, import.meta.url), text);
  console.log(`datasets/kestrel-bay/${name}: ${text.length} characters`);
}
