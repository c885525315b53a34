import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { registerImport } from "../../../src/cli/import.ts";
import { runCommand, unbroken } from "../run-command.ts";
import { fileOf, thirtySheets } from "./thirty-sheets.ts";

/**
 * `npm run sheets`: imports the thirty sheets by the command and prints what became of their rows,
 * as a table: rows in, used, and what was asked or said of the rest.
 */
const folder = mkdtempSync(join(tmpdir(), "dropwise-sheets-"));

/** What one import came to, from what the command printed. */
async function imported(name: string): Promise<readonly string[]> {
  const run = (...more: readonly string[]) =>
    runCommand([registerImport], ["import", join(folder, name), "--pool", folder, ...more]);
  const { out, err, status } = await run("--json");
  const asked = unbroken(err).replaceAll(`${folder}/`, "").replace(/\s+/g, " ").trim();
  if (status === 2) return [name, "-", "-", asked.replace(/^dropwise: /, "")];
  const { sheets } = JSON.parse(out) as { sheets: { rows: { in: number; used: number } }[] };
  const { rows } = sheets[0]!;
  const plain = unbroken((await run("--force")).err)
    .split("\n")
    .filter((line) => line !== "");
  const said = plain.map((line) =>
    line.replaceAll(`${folder}/`, "").replace("dropwise: ", "").trim(),
  );
  return [name, String(rows.in), String(rows.used), [...new Set(said)].join(" ")];
}

try {
  writeFileSync(
    join(folder, "pool.yaml"),
    "pool: Kestrel Bay\nlanes: 4\ndevices: [touchpad, button-1]\n",
  );
  console.log("| sheet | rows in | used | asked or said |\n| --- | ---: | ---: | --- |");
  for (const sheet of thirtySheets) {
    writeFileSync(join(folder, fileOf(sheet)), sheet.content);
    console.log(`| ${(await imported(fileOf(sheet))).join(" | ")} |`);
  }
} finally {
  rmSync(folder, { recursive: true });
}
