import { existsSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test, vi } from "vitest";
import { registerCharts } from "../../src/cli/charts.ts";
import { registerReport } from "../../src/cli/report.ts";
import { runCommand, unbroken } from "./run-command.ts";

// Whole documents are drawn here: slow on a busy machine.
vi.setConfig({ testTimeout: 300_000 });

const folder = mkdtempSync(join(tmpdir(), "dropwise-cli-"));
const file = (name: string, text: string): string => {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
};
const pool = file("pool.yaml", "pool: Kestrel Bay\nmodel: plain\nlanes: 2\ndevices: [touchpad]\n");
const walk = (day: string, plate: string, pod: string): string =>
  `${day},1,4.99,4.98,4.97,4.97\n${day},2,4.99,4.98,${plate},${pod}\n`;
const sheet = file(
  "season.csv",
  `walk,lane,timer,harness,plate,pod\n${walk("2026-05-02", "4.90", "4.90")}${walk("2026-05-09", "4.75", "4.74")}${walk("2026-05-16", "4.55", "4.54")}2026-05-16,1,4.99,,x,\n`,
);
const work = file("work.csv", "done_at,lane,device,point,action\n2026-05-03,1,,plate,cleaned\n");
const run = (...args: string[]) => runCommand([registerCharts, registerReport], args);

test("charts writes each chart as SVG, PNG and specification, named after what it shows", async () => {
  const out = join(folder, "charts");
  const done = await run("charts", "--pool", pool, sheet, "--work", work, "--out", out);
  expect(done).toMatchObject({ status: 0, err: expect.stringContaining("line 8: volts is 'x'") });
  const names = readdirSync(out).sort();
  const charts = new Set(names.map((name) => name.replace(/\.(svg|png|vl\.json)$/, "")));
  expect([...charts]).toEqual(expect.arrayContaining(["lane-map", "suspects", "path-touchpad"]));
  expect(names).toHaveLength(3 * charts.size);
  expect(unbroken(done.out)).toMatch(/lane-map\.svg: Lane 2 plate connector drops 0\.4\d V/);
  const png = readFileSync(join(out, "lane-map.png"));
  // The eight bytes that every PNG starts with (ISO/IEC 15948).
  expect([...png.subarray(0, 8)]).toEqual([137, 80, 78, 71, 13, 10, 26, 10]);
  expect(readFileSync(join(out, "lane-map.svg"), "utf8")).toMatch(/^<svg /);
  const spec = JSON.parse(readFileSync(join(out, "lane-map.vl.json"), "utf8"));
  expect(spec.$schema).toContain("vega-lite");
});

test("report writes one file with verdict, season and the row that it could not use", async () => {
  const out = join(folder, "new", "report.html");
  const args = ["--pool", pool, "--readings", sheet, "--work", work, "--out", out];
  const done = await run("report", ...args);
  expect(done).toMatchObject({ status: 0, err: expect.stringContaining("line 8: volts is 'x'") });
  expect(done.out.replace(/\s+/g, " ")).toMatch(
    /report\.html: Lane 2 plate connector drops 0\.4\d V\. $/,
  );
  const html = readFileSync(out, "utf8");
  expect(html).toContain("<h2>Over the season</h2>");
  expect(html).toContain("Rows that could not be used");
  expect(html).toContain("Content-Security-Policy");
  expect(html).toContain("data-chart=");
  const still = await run("report", ...args, "--still");
  expect(still.status).toBe(0);
  expect(readFileSync(out, "utf8")).not.toContain("<script");
});

test.each([
  [["--pool", join(folder, "no.yaml"), sheet], "no.yaml does not exist"],
  [["--pool", sheet, sheet], "season.csv"],
  [["--pool", pool], "no sheet was named"],
  [["--pool", pool, join(folder, "no.csv")], "no.csv does not exist"],
])("unusable input is one sentence, status 2, and no file: %j", async (args, words) => {
  const out = join(folder, "never", "report.html");
  const done = await run("report", ...args, "--out", out);
  expect(done.status).toBe(2);
  expect(done.err).toContain(words);
  expect(done.err.trim().split("\n")).toHaveLength(1);
  expect(existsSync(out)).toBe(false);
});

test.each(["charts", "report"])("%s --help carries an example", async (name) => {
  const help = await run(name, "--help");
  expect(help.out).toContain(`$ dropwise ${name} --out`);
});
