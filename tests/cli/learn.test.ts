import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { learnRounds } from "../../src/learning/learn-rounds.ts";
import { tabledWalk } from "../../src/learning/tabled-walk.ts";
import { drawnFile, drawnPool, drawnWalks, usual } from "../learning/drawn-walks.ts";

/** Enough walks for more than one thread. */
const WALKS = 7;

test("a pool learns on several threads what it learns on one", async () => {
  const pool = drawnPool();
  const walks = drawnWalks(pool, usual, WALKS, 3);
  const folder = mkdtempSync(join(tmpdir(), "learn-"));
  const rows = walks
    .flat()
    .map(({ walk, lane, device, point, volts }) => [walk, lane, device, point, volts].join(","));
  writeFileSync(join(folder, "pool.yaml"), drawnFile());
  const sheet = `walk,lane,device,point,volts\n${rows.join("\n")}\n`;
  writeFileSync(join(folder, "readings.csv"), sheet);
  const run = spawnSync(
    process.execPath,
    ["--import", "tsx", "src/cli/main.ts", "learn", "--json", "--pool", folder],
    { encoding: "utf8" },
  );
  rmSync(folder, { recursive: true });
  expect(run.status, run.stderr).toBe(0);
  const told = JSON.parse(run.stdout);
  const tables = walks.map((own) => tabledWalk(pool, own));
  const here = await learnRounds(pool, WALKS, async (by) => tables.map((table) => table(by)));
  expect(told.walks).toBe(WALKS);
  for (const [i, number] of here.numbers.entries()) {
    expect(told.numbers[i].key).toBe(number.key);
    expect(told.numbers[i].proposed / number.proposed).toBeCloseTo(1, 6);
    expect(told.numbers[i].high / number.high).toBeCloseTo(1, 6);
  }
}, 180_000);
