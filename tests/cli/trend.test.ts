import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { registerTrend } from "../../src/cli/trend.ts";
import { dayNumber, dayText } from "../../src/domain/calendar.ts";
import { runCommand } from "./run-command.ts";

let folder = "";
const at = (name: string): string => join(folder, name);
const trend = (...args: string[]) => runCommand([registerTrend], ["trend", ...args]);

const POOL = `pool: Kestrel Bay
lanes: 2
devices: [touchpad]
meters:
  - { name: deck, load_ohms: 1000, resolution: 0.01, noise: 0.01 }
chain:
  - { point: plate, connector: plate connector, shared_by: lane, wire_ohms: 1, contaminated: 0.05, fouled: 0.05, fouled_if_contaminated: 0.7 }
  - { point: pod, connector: pod terminals, shared_by: device, wire_ohms: 1, fouled: 0.1 }
`;

/** Sixteen weekly walks: lane 1's plate grows 42 % a week from 0.4 ohm, cleaned once; lane 2 is well. */
function sheet(): string {
  const start = dayNumber("2026-01-05")!;
  const rows = Array.from({ length: 16 }, (_, week) => {
    const since = week < 12 ? week : week - 12;
    const plate = 0.4 * Math.exp(0.35 * since);
    const shown = (ohms: number): string => (5000 / (1000 + ohms)).toFixed(2);
    const day = dayText(start + 7 * week);
    return [
      `${day},1,plate,${shown(1 + plate)}`,
      `${day},1,pod,${shown(2.2 + plate)}`,
      `${day},2,plate,${shown(1.2)}`,
      `${day},2,pod,${shown(2.4)}`,
    ].join("\n");
  });
  return `taken_at,lane,point,volts\n${rows.join("\n")}\n`;
}

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "trend-"));
  writeFileSync(at("pool.yaml"), POOL);
  writeFileSync(at("readings.csv"), sheet());
  writeFileSync(at("work.csv"), "done_at,lane,device,point,action\n2026-03-28,1,,plate,cleaned\n");
  writeFileSync(at("undated.csv"), "lane,point,volts\n1,plate,4.9\n1,pod,4.8\n");
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test("readings and work log give the season in words", async () => {
  const args = ["--pool", at("pool.yaml"), "--work", at("work.csv"), at("readings.csv")];
  const { out, err, status } = await trend(...args);
  expect(err).toBe("");
  expect(out).toMatch(/^Kestrel Bay: 16 walks, 5 January to 20 April, about every 7 days\./);
  expect(out.replace(/\s+/g, " ")).toMatch(
    /28 March, Lane 1 plate connector \(touchpad\): 1\d Ω before, under \d+\.?\d* Ω after; film/,
  );
  const first = out.indexOf("Lane 1 touchpad");
  expect(first).toBeGreaterThan(0);
  expect(out).toContain("No fall seen in 1 path; not before");
  expect(status).toBe(0);
});

test("growth and crossing are about those that the sheet was made with", async () => {
  const args = ["--pool", at("pool.yaml"), "--work", at("work.csv"), "--json", at("readings.csv")];
  const json = JSON.parse((await trend(...args)).out);
  const contact = json.contacts.find(
    (one: { lane: number; point: string }) => one.lane === 1 && one.point === "plate",
  );
  expect(contact.growthPerWeek.low).toBeLessThan(Math.expm1(0.35));
  expect(contact.growthPerWeek.high).toBeGreaterThan(Math.expm1(0.35));
  // 0.4 ohm on 30 March grows to the 39.5 ohm that 4.8 V leaves room for in 13.1 weeks: 30 June.
  expect(json.circuits[0].lane).toBe(1);
  expect(json.circuits[0].crossing.low < "2026-06-30").toBe(true);
  expect(json.circuits[0].crossing.high > "2026-06-30").toBe(true);
  expect(json.undated).toEqual([]);
});

test("a path at its limit makes the exit status 1", async () => {
  const late = sheet()
    .split("\n")
    .slice(0, 1 + 4 * 12)
    .join("\n");
  const bad = late.replace(/(2026-03-23,1,plate),.*\n(2026-03-23,1,pod),.*/, "$1,4.70\n$2,4.69");
  writeFileSync(at("bad.csv"), `${bad}\n2026-03-24,1,plate,4.69\n2026-03-24,1,pod,4.69\n`);
  const { status } = await trend("--pool", at("pool.yaml"), at("bad.csv"));
  expect(status).toBe(1);
});

test("without any date there is no trend: one clear sentence, status 2, nothing printed", async () => {
  const { out, err, status } = await trend("--pool", at("pool.yaml"), at("undated.csv"));
  expect(status).toBe(2);
  expect(out).toBe("");
  expect(err).toMatch(/no dated walk with readings at rest/);
});

test("a walk without a date beside dated ones is named as left out", async () => {
  const args = ["--pool", at("pool.yaml"), at("readings.csv"), at("undated.csv")];
  const { err, status } = await trend(...args);
  expect(err).toMatch(/left out, no date: walk /);
  expect(status).toBe(0);
});

test("dates far from all others are asked about on standard error", async () => {
  writeFileSync(at("far.csv"), "taken_at,lane,point,volts\n2125-01-05,1,plate,4.99\n");
  const { err, out } = await trend("--pool", at("pool.yaml"), at("readings.csv"), at("far.csv"));
  expect(err).toBe(
    `From ${folder}: work.csv (1 entry)\na date may be wrong: walk 2125-01-05 lies 99 years after ` +
      "walk 2026-04-20, and no walk " +
      "between them\n",
  );
  expect(out).toMatch(/^Kestrel Bay: 17 walks, 5 January 2026 to 5 January 2125, /);
});

test("a row of the work log that can't be used is named with its line", async () => {
  writeFileSync(
    at("odd.csv"),
    "done_at,lane,device,point,action\n2026-03-28,1,,plate,cleaned\n2026-03-29,9,,plate,cleaned\n",
  );
  const args = ["--pool", at("pool.yaml"), "--work", at("odd.csv"), at("readings.csv")];
  expect((await trend(...args)).err).toMatch(/odd\.csv [^\n]*\n {2}line 3: lane/);
});

test("help carries an example", async () => {
  const { out } = await trend("--help");
  expect(out).toContain("$ dropwise trend");
});

test("a load that nobody knows is told, in words and as data, before anything rests on it", async () => {
  // Two walks of one path, by the first version's model: what is told does not hang on how much is read.
  const few = POOL.replace("lanes: 2", "model: plain\nlanes: 1");
  writeFileSync(at("known.yaml"), few);
  writeFileSync(at("unknown.yaml"), few.replace("load_ohms: 1000", "load_ohms: unknown"));
  const rows = ["05", "12"].map((day) => `2026-01-${day},1,plate,4.98\n2026-01-${day},1,pod,4.97`);
  writeFileSync(at("few.csv"), `taken_at,lane,point,volts\n${rows.join("\n")}\n`);
  const args = ["--work", at("work.csv"), at("few.csv")];
  const { out } = await trend("--pool", at("unknown.yaml"), ...args);
  expect(out.replace(/\s+/g, " ")).toContain(
    "load is not known: resistances, growth and dates are reckoned as if it were 1000 Ω",
  );
  const asked = async (pool: string) =>
    JSON.parse((await trend("--pool", at(pool), ...args, "--json")).out).assumedLoadOhms;
  expect(await asked("unknown.yaml")).toBe(1000);
  expect(await asked("known.yaml")).toBeNull();
});
