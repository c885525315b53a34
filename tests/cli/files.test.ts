import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { UnusableInput } from "../../src/cli/command.ts";
import { loadPool, loadReadings, loadWorkLog } from "../../src/cli/files.ts";
import { writeFiles } from "../../src/cli/store/file-set.ts";
import type { Pool } from "../../src/domain/pool.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";

let folder = "";
const file = (name: string, content: string | Uint8Array): string => {
  const path = join(folder, name);
  writeFileSync(path, content);
  return path;
};
const pool = ((): Pool => {
  const read = readPool(
    "pool: Kestrel Bay\nmodel: plain\nlanes: 8\ndevices: [touchpad, button-1]",
    "p",
  );
  if (!read.ok) throw new Error("the pool file is wrong");
  return read.value;
})();

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "dropwise-files-"));
});
afterEach(() => rmSync(folder, { recursive: true }));

/** The one sentence that the user reads. */
async function sentence(promise: Promise<unknown>): Promise<string> {
  const error = await promise.then(
    () => null,
    (thrown: unknown) => thrown,
  );
  expect(error).toBeInstanceOf(UnusableInput);
  const { message } = error as UnusableInput;
  expect(message.split("\n")).toHaveLength(1);
  expect(message.length).toBeLessThan(500);
  return message.replaceAll(folder, "");
}

test("what can't be used at all is one clear sentence", async () => {
  mkdirSync(join(folder, "dir"));
  const sheet = (path: string) => sentence(loadReadings([path], pool));
  expect(await sheet(join(folder, "none.csv"))).toBe("/none.csv does not exist");
  expect(await sheet(join(folder, "dir"))).toContain("is a directory");
  expect(await sheet(file("empty.csv", ""))).toBe("/empty.csv is empty");
  expect(await sheet(file("blank.csv", "\n\n"))).toContain("is empty");
  expect(
    await sheet(
      file(
        "b.csv",
        Uint8Array.from({ length: 9000 }, (_, i) => i % 251),
      ),
    ),
  ).toContain("is not text");
  expect(await sheet(file("long.csv", "x".repeat(10_000_000)))).toContain("no header row");
  const behind = `lane,point,volts\n1,pod,4.9\n${"y".repeat(10_000_000)}`;
  expect(await sheet(file("line.csv", behind))).toContain("line 3: is longer than");
  expect(await sheet(file("head.csv", "lane,pont,volts\n"))).toContain("no column point");
});

test("the same for pool files and work logs", async () => {
  expect(await sentence(loadPool(join(folder, "pool.yaml")))).toBe("/pool.yaml does not exist");
  expect(await sentence(loadPool(folder))).toContain("is a directory");
  const bad = file("bad.yaml", "pool: x\nlanes: 100\ndevices: []\nmisread: 2");
  expect(await sentence(loadPool(bad))).toMatch(/lanes: found 100.*also wrong: devices, misread/);
  expect(await sentence(loadWorkLog(file("work.csv", "lane\n"), pool))).toContain("no column");
  expect(await sentence(loadWorkLog(file("big.csv", "x".repeat(21_000_000)), pool))).toContain(
    "MB",
  );
  const line = file("line.csv", "x".repeat(10_000_000));
  expect(await sentence(loadWorkLog(line, pool))).toContain("no header row");
  const rubbish = file("rubbish.csv", "\u0001\u0002\n\0\0\n");
  expect(await sentence(loadWorkLog(rubbish, pool))).toContain("is not text");
  expect(await sentence(loadReadings([rubbish], pool))).toContain("is not text");
});

test("a file given twice is a slip", async () => {
  const path = file("a.csv", "lane,point,volts\n1,pod,4.9\n");
  expect(await sentence(loadReadings([path, join(folder, ".", "a.csv")], pool))).toContain("twice");
});

test.each(["utf8", "utf16le"] as const)(
  "streamed in pieces, %s, it is what the text gives",
  async (encoding) => {
    const rows = Array.from({ length: 20_000 }, (_, i) => {
      const note = i % 50 === 0 ? '"two\r\nlines, ü €"' : i % 777 === 0 ? '"open' : "";
      return `${1 + (i % 9)};pod;4,${10 + (i % 90)};2026-05-02T10:00:00.${i};${note}`;
    });
    const text = `lane;point;volts;taken_at;note\r\n${rows.join("\r\n")}\r\n`;
    const mark = encoding === "utf16le" ? "\uFEFF" : "";
    const path = file("big.csv", Buffer.from(mark + text, encoding));
    const shares: number[] = [];
    const streamed = await loadReadings([path], pool, (share) => shares.push(share));
    const { readings, rejected, warnings, rows: counts } = readReadings(text, pool, path);
    expect(streamed.readings.length).toBeGreaterThan(15_000);
    expect(streamed).toEqual({ readings, rejected, warnings, rows: counts });
    expect(counts.in).toBe(readings.length + rejected.length + counts.repeats);
    expect(shares.length).toBeGreaterThan(3);
    expect(shares.at(-1)).toBe(1);
    expect(shares).toEqual([...shares].sort((a, b) => a - b));
  },
);

test("a row that stands in two files counts once, and a word says where it stood first", async () => {
  const row = "lane,point,volts,taken_at\n1,pod,4.9,2026-05-02T10:00\n";
  const [a, b] = [file("a.csv", row), file("b.csv", row)];
  const { readings, rejected, rows, warnings } = await loadReadings([a, b], pool);
  expect([readings.length, rejected]).toEqual([1, []]);
  expect(rows).toEqual({ in: 2, used: 1, rejected: 0, repeats: 1 });
  expect(warnings).toMatchObject([{ file: b }]);
  expect(warnings[0]?.message).toContain(`is a copy: its reading stands in ${a}`);
});

test("files are written all or none, and no half of one is left over", async () => {
  writeFiles(join(folder, "new", "out"), [{ name: "a.txt", content: "a" }]);
  expect(readFileSync(join(folder, "new", "out", "a.txt"), "utf8")).toBe("a");
  mkdirSync(join(folder, "b.txt.dir"));
  const clash = [
    { name: "good.txt", content: "new" },
    { name: "a.csv/inside.txt", content: "a file is in the way" },
  ];
  file("a.csv", "");
  expect(await sentence((async () => writeFiles(folder, clash))())).toBe(
    "/a.csv is a file, where a folder is needed",
  );
  expect(readdirSync(folder).sort()).toEqual(["a.csv", "b.txt.dir", "new"]);
});
