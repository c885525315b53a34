import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test, vi } from "vitest";
import { devices, emoji, greek, lanes, season, yaml } from "../any-script-pool.ts";
import { commands } from "./commands.ts";
import { runCommand } from "./run-command.ts";

// Whole documents are drawn here: slow on a busy machine.
vi.setConfig({ testTimeout: 300_000 });

const folder = mkdtempSync(join(tmpdir(), "dropwise-scripts-"));
const home = process.cwd();

beforeAll(() => {
  const write = (name: string, text: string) => writeFileSync(join(folder, name), text);
  write("pool.yaml", yaml);
  write("readings.csv", season());
  write(
    "work.csv",
    `done_at,lane,device,point,action\n2026-05-10,${lanes[1]},${devices[1]},${emoji},cleaned\n`,
  );
  write(
    "touches.csv",
    `lane,device,kind,tried,registered\n${lanes[1]},${devices[1]},fingertip,9,4\n`,
  );
  write("pads.csv", `taken_at,water_c,strokes,lane\n2026-05-01,26,3,${lanes[0]}\n`);
  write("parts.csv", `part,kind,where,note\n№ 7,${greek},spare,запас\n`);
  write("facility.yaml", `facility: "Όρμος ${emoji}"\nto: "理事会"\nfrom: "Смотритель"\n`);
  write(
    "Δευτέρα.csv",
    `taken_at,lane,device,point,volts\n2026-05-23,${lanes[0]},${devices[0]},${emoji},4.3\n`,
  );
  process.chdir(folder);
});
afterAll(() => {
  process.chdir(home);
  rmSync(folder, { recursive: true });
});

const run = async (...args: readonly string[]) => {
  const [, register] = commands.find(([name]) => name === args[0])!;
  const { out, err, status } = await runCommand([register], args);
  expect(status, err).not.toBe(2);
  expect(err).not.toContain("could not be used");
  return out.replaceAll(/\s+/g, " ");
};

const suspect = [lanes[0]!, devices[0]!, "插头"];

test.each([
  [["check"], suspect],
  [
    ["check", "--details"],
    [...suspect, lanes[1]!, devices[1]!],
  ],
  [
    ["check", "--json"],
    [`"lane":"${lanes[0]}"`, `"device":"${devices[0]}"`, greek, emoji, "Όρμος"],
  ],
  [["check", "--language", "de"], suspect],
  [["next", "--alone"], []],
  [["trend"], [lanes[0]!, devices[0]!]],
  [["decide"], suspect],
  [
    ["ready", "--date", "2026-05-20"],
    [lanes[0]!, lanes[1]!],
  ],
  [["touches"], [lanes[1]!, devices[1]!]],
  [["pads", "--date", "2026-05-20"], []],
  [["import", "Δευτέρα.csv"], ["Δευτέρα"]],
  [
    [
      "log",
      "cleaned",
      "--lane",
      lanes[0]!,
      "--device",
      devices[0]!,
      "--point",
      emoji,
      "--by",
      "Ω. Β.",
    ],
    [lanes[0]!, devices[0]!, emoji],
  ],
  [["undo"], [lanes[0]!, devices[0]!, emoji]],
] as const)("%j says the pool's own names", async (args, said) => {
  const out = (await run(...args)).replaceAll(/": "/g, '":"');
  for (const name of said) expect(out).toContain(name);
});

test("each lane and device has pictures of its own", async () => {
  await run("charts", "--out", "charts");
  const drawn = readdirSync(join(folder, "charts")).filter((name) => name.endsWith(".svg"));
  const pictures = drawn.map((name) => readFileSync(join(folder, "charts", name), "utf8"));
  expect(new Set(pictures).size).toBe(drawn.length);
  for (const device of devices)
    expect(
      pictures.some((picture) => picture.includes(device)),
      device,
    ).toBe(true);
  expect(drawn).toContain("path-дорожка-1.svg");
});

test("report, memo and the round's sheet carry them as they are", async () => {
  await run("report", "--out", "report.html");
  await run("memo", "--out", "memo");
  await run("round", "--out", "sheets", "--date", "2026-05-20");
  const read = (name: string): string => readFileSync(join(folder, name), "utf8");
  for (const name of ["Όρμος", ...suspect]) {
    expect(read("report.html")).toContain(name);
    expect(read("memo/memo.html")).toContain(name);
    expect(read("memo/memo.md").replaceAll("\\", "")).toContain(name);
  }
  for (const name of ["理事会", "Смотритель"]) expect(read("memo/memo.html")).toContain(name);
  for (const name of [...lanes, ...devices, greek, emoji])
    expect(read("sheets/round.csv")).toContain(name);
});
