/** Writes the made files of datasets/kestrel-bay, and README's picture of it: `npm run demo`. */
import { writeFileSync } from "node:fs";
import { demoFiles } from "./demo-files.ts";
import { demoPicture } from "./demo-picture.ts";

for (const [name, text] of Object.entries(demoFiles())) {
  writeFileSync(new URL(`kestrel-bay/${name}`, import.meta.url), text);
  console.log(`datasets/kestrel-bay/${name}: ${text.length} characters`);
}

// From the files, as they stand now.
const picture = await demoPicture();
writeFileSync(new URL("lane-map.svg", import.meta.url), picture);
console.log(`datasets/lane-map.svg: ${picture.length} characters`);
