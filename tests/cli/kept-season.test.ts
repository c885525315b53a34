import { appendFileSync, mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { registerCheck } from "../../src/cli/check.ts";
import { registerDecide } from "../../src/cli/decide.ts";
import { registerMemo } from "../../src/cli/memo.ts";
import { registerNext } from "../../src/cli/next.ts";
import { registerReady } from "../../src/cli/ready.ts";
import { keptAnswers } from "../../src/cli/store/kept-answers.ts";
import { registerTrend } from "../../src/cli/trend.ts";
import { noKeeper } from "../../src/rooms/season-room.ts";
import { TWO_CONTACTS } from "../season/carried/two-contacts.ts";
import { runCommand } from "./run-command.ts";

const commands = [
  registerCheck,
  registerNext,
  registerTrend,
  registerDecide,
  registerMemo,
  registerReady,
];
const lines = [
  ["check", "--json"],
  ["check", "--details"],
  ["check", "--all", "--json"],
  ["check", "--alone", "--json"],
  ["next", "--json"],
  ["trend", "--json"],
  ["trend", "--alone"],
  ["decide", "--json"],
  ["memo", "--json"],
  ["ready", "--date", "2026-05-23", "--json"],
];

function folder(): string {
  const at = mkdtempSync(join(tmpdir(), "kept-season-"));
  const walk = (day: string, plate: number, pod: number): string =>
    `${day}T10:00,1,touchpad,plate,${plate}\n${day}T10:02,1,touchpad,pod,${pod}\n`;
  const rows = [
    walk("2026-05-01", 4.98, 4.9),
    walk("2026-05-08", 4.97, 4.6),
    walk("2026-05-15", 4.98, 4.7),
    walk("2026-05-22", 4.98, 4.4),
  ];
  writeFileSync(join(at, "pool.yaml"), TWO_CONTACTS);
  writeFileSync(join(at, "readings.csv"), `taken_at,lane,device,point,volts\n${rows.join("")}`);
  writeFileSync(
    join(at, "work.csv"),
    "done_at,lane,device,point,action\n2026-05-11T09:00,1,touchpad,pod,cleaned\n",
  );
  return at;
}

const answers = async (at: string, keeper = noKeeper, asked = lines) => {
  const said = [];
  for (const [command, ...more] of asked)
    said.push(await runCommand(commands, [command!, "--pool", at, ...more], keeper));
  return said;
};

test("every answer is the same whether earlier runs have left theirs or not", async () => {
  const at = folder();
  const anew = await answers(at);
  const keeper = keptAnswers(join(at, "kept"), "build");
  let [asked, known] = [0, 0];
  const counting: typeof keeper = {
    keep: keeper.keep,
    known: <T>(question: Parameters<typeof keeper.known>[0]) => {
      const found = keeper.known<T>(question);
      asked += 1;
      if (found !== undefined) known += 1;
      return found;
    },
  };
  expect(await answers(at, counting)).toEqual(anew);
  [asked, known] = [0, 0];
  expect(await answers(at, counting)).toEqual(anew);
  expect(known).toBe(asked);
  expect(asked).toBeGreaterThan(15);
}, 240_000);

test("a reading, a work or a figure more is asked anew", async () => {
  const at = folder();
  const keeper = keptAnswers(join(at, "kept"), "build");
  const few = [
    ["check", "--json"],
    ["trend", "--json"],
  ];
  await answers(at, keeper, few);
  const changes = [
    () => appendFileSync(join(at, "readings.csv"), "2026-05-22T10:03,1,touchpad,pod,4.41\n"),
    () => appendFileSync(join(at, "work.csv"), "2026-05-18T09:00,1,touchpad,plate,cleaned\n"),
    () => appendFileSync(join(at, "pool.yaml"), "limit: { volts: 4.7, meter: deck }\n"),
  ];
  for (const change of changes) {
    change();
    expect(await answers(at, keeper, few)).toEqual(await answers(at, noKeeper, few));
  }
}, 480_000);
