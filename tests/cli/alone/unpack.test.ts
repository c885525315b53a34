import { chmodSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { unpack } from "../../../src/cli/alone/unpack.ts";
import { cacheFolder } from "../../../src/cli/store/cache-folder.ts";
import { disk } from "../../../src/cli/store/disk.ts";

let folder = "";
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "dropwise-unpack-"));
  mkdirSync(join(folder, "tmp"));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const texts: Readonly<Record<string, string>> = { "a.txt": "first", "deep/er/b.txt": "second" };
let reads = 0;
const packed = {
  name: "dropwise-1",
  sizes: Object.fromEntries(Object.entries(texts).map(([path, text]) => [path, text.length])),
  read: (path: string) => {
    reads++;
    return new TextEncoder().encode(texts[path]);
  },
};
const lay = () => unpack(packed, join(folder, "home", "cache"), join(folder, "tmp"));

// XDG Base Directory Specification 0.8: an empty or relative XDG_CACHE_HOME counts as not set.
// The folders of macOS and Windows: their makers' guides for programs (from memory).
test.each([
  ["linux", {}, "/home/a", "/home/a/.cache"],
  ["linux", { XDG_CACHE_HOME: "/var/c" }, "/home/a", "/var/c"],
  ["linux", { XDG_CACHE_HOME: "c" }, "/home/a", "/home/a/.cache"],
  ["darwin", {}, "/Users/a", "/Users/a/Library/Caches"],
  ["win32", { LOCALAPPDATA: "D:\\a\\Local" }, "C:\\Users\\a", "D:\\a\\Local"],
  ["win32", {}, "C:\\Users\\a", "C:\\Users\\a\\AppData\\Local\\Temp"],
])("on %s with %j of %s parts go to %s", (platform, env, home, expected) => {
  expect(cacheFolder(platform, env, home)).toBe(expected);
});

test("parts are laid out once, for the user alone, and found there again", () => {
  const first = lay();
  reads = 0;
  expect(lay()).toEqual(first);
  expect(reads).toBe(0);
  expect(first.isPassing).toBe(false);
  expect(readFileSync(join(first.folder, "deep/er/b.txt"), "utf8")).toBe("second");
  expect(readdirSync(join(folder, "home", "cache"))).toEqual(["dropwise-1"]);
});

test("after a failure at any call nothing half is named, and the next run works", () => {
  const { write } = disk;
  disk.write = () => {
    throw Object.assign(new Error("no room"), { code: "ENOSPC" });
  };
  try {
    expect(lay).toThrow("no room");
  } finally {
    disk.write = write;
  }
  expect(readdirSync(join(folder, "home", "cache"))).toEqual([]);
  expect(readFileSync(join(lay().folder, "a.txt"), "utf8")).toBe("first");
});

test("a run that finishes first is used, not fought over", () => {
  const { rename } = disk;
  disk.rename = () => {
    disk.rename = rename;
    lay();
    throw Object.assign(new Error("not empty"), { code: "ENOTEMPTY" });
  };
  expect(lay()).toEqual({ folder: join(folder, "home", "cache", "dropwise-1"), isPassing: false });
  expect(readdirSync(join(folder, "home", "cache"))).toEqual(["dropwise-1"]);
});

test.skipIf(process.platform === "win32")(
  "a folder that others may write in is not run from",
  () => {
    const { folder: own } = lay();
    chmodSync(own, 0o777);
    const { folder: other, isPassing } = lay();
    expect(isPassing).toBe(true);
    expect(other.startsWith(join(folder, "tmp"))).toBe(true);
  },
);
