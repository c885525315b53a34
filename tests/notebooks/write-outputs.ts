import { readdirSync, writeFileSync } from "node:fs";
import { resolve } from "node:path";
import { execute, textsOf } from "./notebook.ts";

/** Runs the notebooks anew and writes them back with their outputs: `npm run notebooks [name...]`. */
const wanted = process.argv.slice(2);
const names = readdirSync("notebooks").filter(
  (one) =>
    one.endsWith(".ipynb") && (wanted.length === 0 || wanted.some((name) => one.includes(name))),
);
for (const name of names) {
  const path = resolve("notebooks", name);
  const notebook = await execute(path);
  writeFileSync(path, `${JSON.stringify(notebook, null, 1)}\n`);
  const failed = notebook.cells.filter((cell) =>
    cell.outputs?.some((one) => one.output_type === "error"),
  );
  process.stdout.write(`${name}: ${notebook.cells.length} cells, ${failed.length} failed\n`);
  for (const cell of failed) process.stdout.write(`${textsOf(cell).join("\n")}\n`);
  if (failed.length > 0) process.exitCode = 1;
}
