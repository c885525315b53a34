import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";

/** Tells any two builds whose code differs apart, their packages' included. */
export function buildDigest(): string {
  const sources = readdirSync("src", { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map(({ parentPath, name }) => join(parentPath, name));
  const code = createHash("sha256");
  for (const file of [...sources.sort(), "package.json", "package-lock.json"])
    code.update(file).update("\0").update(readFileSync(file));
  return code.digest("hex");
}
