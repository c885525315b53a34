import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { Register } from "../../src/cli/command.ts";
import { registerLog } from "../../src/cli/log.ts";
import { registerNext } from "../../src/cli/next.ts";
import { registerPads } from "../../src/cli/pads.ts";
import { registerReady } from "../../src/cli/ready.ts";
import { registerTouches } from "../../src/cli/touches.ts";
import { runCommand } from "./run-command.ts";

/** 03/04/2026 is 3 April to most of the world and 4 March to some: a sheet of such dates must ask. */
const folder = mkdtempSync(join(tmpdir(), "dropwise-dates-"));
const file = (name: string): string => join(folder, name);
const run = (register: Register, ...args: string[]) =>
  runCommand([register], [...args, "--pool", file("pool.yaml")]);

beforeAll(() => {
  writeFileSync(file("pool.yaml"), "pool: K\nmodel: plain\nlanes: 1\ndevices: [touchpad]\n");
  writeFileSync(
    file("readings.csv"),
    "lane,point,volts,taken_at\n1,timer,4.99,03/04/2026 10:00\n1,pod,4.97,03/04/2026 10:01\n",
  );
  writeFileSync(
    file("touches.csv"),
    "lane,kind,tried,registered,taken_at\n1,fingertip,20,20,03/04/2026\n",
  );
  writeFileSync(file("pads.csv"), "taken_at,water_c,strokes\n03/04/2026,26,5\n");
  writeFileSync(file("other.csv"), "done_at,lane,point,action\n03/04/2026,1,plate,cleaned\n");
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test.each([
  ["next", registerNext, ["next", file("readings.csv")]],
  ["ready", registerReady, ["ready", "--date", "2026-06-01", file("readings.csv")]],
  ["touches", registerTouches, ["touches", file("touches.csv")]],
  ["pads", registerPads, ["pads", "--date", "2026-06-01", file("pads.csv")]],
  ["log import", registerLog, ["log", "import", file("other.csv"), "--work", file("asked.csv")]],
] as const)("%s asks which number is the day, and takes the answer", async (_, register, args) => {
  const asked = await run(register, ...args);
  expect(asked.status).toBe(2);
  expect(asked.err).toContain("Say it with --dates dmy or --dates mdy");
  const told = await run(register, ...args, "--dates", "mdy");
  expect(told.status, told.err).not.toBe(2);
  const wrong = await run(register, ...args, "--dates", "ymd");
  expect(wrong.err).toContain("--dates is 'ymd'");
});

test("the day that was meant is the one that counts", async () => {
  const due = async (order: string) =>
    JSON.parse(
      (
        await run(
          registerPads,
          ...["pads", "--date", "2026-06-01", "--json", "--dates", order, file("pads.csv")],
        )
      ).out,
    );
  expect(JSON.stringify(await due("dmy"))).toContain("2026-04-03");
  expect(JSON.stringify(await due("mdy"))).toContain("2026-03-04");
});

test("an imported row is written as this log writes dates, and known when it comes again", async () => {
  const work = file("work.csv");
  const args = ["log", "import", file("other.csv"), "--work", work, "--dates", "mdy"];
  expect((await run(registerLog, ...args)).out).toContain("1 rows added");
  expect(readFileSync(work, "utf8")).toContain("2026-03-04");
  expect((await run(registerLog, ...args)).out).toContain("0 rows added");
});
