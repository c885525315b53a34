import { writeSync } from "node:fs";
import { writers } from "./writers.ts";

/** Writes until it is killed; says what it is about to make, and what is made. */
const [name = "", folder = ""] = process.argv.slice(2);
const writer = writers[name]!;
for (let n = 0; ; n++) {
  const after = await writer.after(folder, n);
  writeSync(1, `begun ${after}\n`);
  await writer.work(folder, n);
  writeSync(1, `done ${after}\n`);
}
