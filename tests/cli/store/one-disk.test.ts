import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";

/** Node's calls that change a disk. */
const changing =
  /\b(?:appendFile|chmod|chown|copyFile|cp|createWriteStream|link|mkdir|mkdtemp|rename|rm|rmdir|symlink|truncate|ftruncate|unlink|utimes|write|writeFile|writev)(?:Sync)?\b/;

/** What may call by itself: nothing of the user's goes through these calls. */
const excepted = [
  // The last resort trusts nothing of the program that has just failed; the next writes to the terminal alone.
  "last-resort.ts",
  "alone/start-alone.ts",
  // Makes a passing folder for the program's own parts, and fills it by disk.ts.
  "alone/unpack.ts",
];

/** Scripts that build the package: not part of the command. */
const builders = /build-[a-z]+\.ts$/;

test("the command changes a disk through disk.ts alone, so no call escapes the fault tests", () => {
  const files = readdirSync("src/cli", { recursive: true, encoding: "utf8" })
    .map((name) => name.replaceAll("\\", "/"))
    .filter((name) => name.endsWith(".ts") && !builders.test(name));
  const own = files.filter((name) => {
    const text = readFileSync(join("src/cli", name), "utf8");
    const imports = text.matchAll(/import (\{[^}]*\}|[^{]*?) from "(?:node:)?fs(?:\/promises)?"/g);
    return [...imports].some(([, names]) => !names!.startsWith("{") || changing.test(names!));
  });
  expect(files.length).toBeGreaterThan(40);
  expect(own.sort()).toEqual([...excepted, "store/disk.ts"].sort());
});
