import { existsSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test, vi } from "vitest";
import { registerMemo } from "../../src/cli/memo.ts";
import { unzip, xmlText } from "../report/zip.ts";
import { runCommand } from "./run-command.ts";

// Whole documents are drawn here: slow on a busy machine.
vi.setConfig({ testTimeout: 300_000 });

const folder = mkdtempSync(join(tmpdir(), "dropwise-memo-"));
const file = (name: string, text: string): string => {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
};
const pool = file("pool.yaml", "pool: Kestrel Bay\nmodel: plain\nlanes: 2\ndevices: [touchpad]\n");
const sheet = file(
  "season.csv",
  "walk,lane,timer,harness,plate,pod\n2026-05-02,1,4.99,4.98,4.97,4.97\n2026-05-02,2,4.99,4.98,4.80,4.79\n2026-05-09,1,4.99,4.98,4.97,4.97\n2026-05-09,2,4.99,4.98,4.55,4.54\n",
);
const facility = file("board.yaml", "to: The Board\nfrom: Aquatics\ncurrency: EUR\n");
const run = (...args: string[]) => runCommand([registerMemo], ["memo", ...args]);

test("memo writes the same request as Word, HTML and Markdown", async () => {
  const out = join(folder, "memo");
  const done = await run("--pool", pool, sheet, "--facility", facility, "--out", out);
  expect(done).toMatchObject({ status: 0, err: "" });
  const pictures = readdirSync(out).filter((name) => name.endsWith(".svg"));
  expect(pictures).toEqual(expect.arrayContaining(["lane-map.svg", "options.svg"]));
  const request = done.out.replace(/^.*memo\.docx: /, "").trim();
  expect(request).toMatch(/^(We ask for EUR [\d,]+|No money is asked for)/);
  const xml = unzip(readFileSync(join(out, "memo.docx")))
    .get("word/document.xml")!
    .toString();
  const html = readFileSync(join(out, "memo.html"), "utf8");
  const markdown = readFileSync(join(out, "memo.md"), "utf8");
  const amount = /EUR [\d,]+/.exec(request)![0];
  for (const text of [xmlText(xml), html, markdown]) {
    expect(text).toContain(amount);
    expect(text).toContain("The Board");
    expect(text).toContain("Aquatics");
  }
  for (const name of pictures) expect(markdown).toContain(`](${name})`);
});

test("without a facility file every word of the facility is a blank", async () => {
  const out = join(folder, "blank");
  expect((await run("--pool", pool, sheet, "--out", out)).status).toBe(0);
  const markdown = readFileSync(join(out, "memo.md"), "utf8");
  for (const name of ["to", "from", "date"]) expect(markdown).toContain(`\\[${name}: `);
});

test("prices in two currencies are a fault, not a conversion", async () => {
  const priced = file(
    "priced.yaml",
    "pool: Kestrel Bay\nmodel: plain\nlanes: 2\ndevices: [touchpad]\ncosts: { currency: CHF }\n",
  );
  const out = join(folder, "never");
  const done = await run("--pool", priced, sheet, "--facility", facility, "--out", out);
  expect(done.status).toBe(2);
  expect(done.err).toContain("asks for EUR, but the pool file's prices are in CHF");
  expect(existsSync(out)).toBe(false);
});

test("a facility file with a stray key is one sentence and status 2", async () => {
  const stray = file("stray.yaml", "too: The Board\n");
  const done = await run("--pool", pool, sheet, "--facility", stray, "--out", join(folder, "x"));
  expect(done.status).toBe(2);
  expect(done.err).toContain("unknown key 'too'");
});

test("memo --help carries an example", async () => {
  expect((await run("--help")).out).toContain("$ dropwise memo --out");
});

test("rows that cannot be used are told, those of the work log as well", async () => {
  const bad = file("bad.csv", "walk,lane,pod\n2026-05-02,1,4.97\n2026-05-02,9,4.97\n");
  const log = file("log.csv", "done_at,lane,device,point,action\n2026-05-01,1,,plate,polished\n");
  const done = await run("--pool", pool, bad, "--work", log, "--out", join(folder, "told"));
  expect(done.status).toBe(0);
  expect(done.err).toMatch(/bad\.csv \(mend it and import again\)[\s\S]*log\.csv \(mend it/);
});
