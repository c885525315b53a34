import { writeSync } from "node:fs";
import { createRequire } from "node:module";
import { homedir, tmpdir } from "node:os";
import { join } from "node:path";
import { getAsset } from "node:sea";
import { cacheFolder } from "../store/cache-folder.ts";
import { type LaidOut, removeParts, unpack } from "./unpack.ts";

/**
 * The first lines of the command as one file: it lays its parts out and starts them. Node's own loader
 * is had by way of a file on the disk, because a program inside Node's binary may load only what Node has.
 */

const parts = JSON.parse(getAsset("parts.json", "utf8")) as {
  readonly name: string;
  readonly sizes: Readonly<Record<string, number>>;
};

function laidOut(): LaidOut | null {
  try {
    const read = (path: string): Uint8Array => new Uint8Array(getAsset(path));
    const cache = cacheFolder(process.platform, process.env, homedir());
    return unpack({ ...parts, read }, cache, tmpdir());
  } catch (error) {
    const { code } = error as { code?: string };
    writeSync(
      2,
      `dropwise: nowhere to lay out its own parts (${code ?? "no folder"}): see TMPDIR\n`,
    );
    process.exitCode = 2;
    return null;
  }
}

const found = laidOut();
if (found !== null) {
  if (found.isPassing) process.on("exit", () => removeParts(found.folder));
  const first = join(found.folder, "start.cjs");
  process.argv[1] = first;
  createRequire(first)(first);
}
