import { existsSync, readdirSync, readFileSync, rmSync, statSync } from "node:fs";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { writeFiles } from "../../../src/cli/store/file-set.ts";

/** Linux keeps a disk in memory there: a folder to which no rename leads from the one above. */
const DISK = "/dev/shm";
const isDisk = existsSync(DISK) && statSync(DISK).dev !== statSync(join(DISK, "..")).dev;
const name = `dropwise-own-disk-${process.pid}.txt`;

afterAll(() => rmSync(join(DISK, name), { force: true }));

test.skipIf(!isDisk)("a folder that is a disk of its own takes files, twice", () => {
  for (const content of ["first", "second"]) {
    writeFiles(DISK, [{ name, content }]);
    expect(readFileSync(join(DISK, name), "utf8")).toBe(content);
  }
  const left = readdirSync(DISK).filter((one) => one.startsWith(".dropwise"));
  expect(left).toEqual([]);
});
