/**
 * Files as a Windows editor keeps them: CR and LF at every line's end, and a byte-order mark in front.
 * The answers are those of the same files with LF alone. What the commands write has one kind of line
 * end throughout: CR and LF in CSV (RFC 4180, section 2), LF elsewhere.
 */
import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { registerCheck } from "../../src/cli/check.ts";
import { registerInit } from "../../src/cli/init.ts";
import { registerLog } from "../../src/cli/log.ts";
import { registerReady } from "../../src/cli/ready.ts";
import { runCommand } from "./run-command.ts";

const home = mkdtempSync(join(tmpdir(), "dropwise-ends-"));
afterAll(() => rmSync(home, { recursive: true }));

const files: Readonly<Record<string, string>> = {
  "pool.yaml": "# Our pool\npool: Kestrel Bay\nmodel: plain\nlanes: 2\ndevices: [touchpad]\n",
  "readings.csv":
    'lane,point,volts,taken_at,note\n1,plate,4.61,2026-06-11T08:00:00,"first\nlook"\n' +
    "1,pod,4.6,2026-06-11T08:01:00,\n2,pod,4.97,2026-06-11T08:02:00,\n9,pod,4.97,,\n",
  "work.csv": "done_at,lane,point,action\n2026-06-10,1,plate,cleaned\n",
  "touches.csv": "lane,device,kind,tried,registered\n2,touchpad,fingertip,20,20\n",
  "pads.csv": "taken_at,water_c,strokes,lane\n2026-06-11,26,,\n",
  "parts.csv": "part,where\nK-1,spare\n",
};
const kinds: Readonly<Record<string, (text: string) => string>> = {
  unix: (text) => text,
  windows: (text) => `\uFEFF${text.replaceAll("\n", "\r\n")}`,
};
const place = (kind: string): string => join(home, kind);

beforeAll(() => {
  for (const [kind, made] of Object.entries(kinds)) {
    mkdirSync(place(kind));
    for (const [name, text] of Object.entries(files))
      writeFileSync(join(place(kind), name), made(text));
  }
});

const registers = [registerCheck, registerReady, registerLog];
const answer = async (kind: string, ...args: string[]) => {
  const { out, err, status } = await runCommand(registers, [...args, "--pool", place(kind)]);
  const plain = (text: string): string => text.replaceAll(place(kind), "POOL");
  return { out: plain(out), err: plain(err), status };
};

test.each([[["check", "--json"]], [["check"]], [["ready", "--date", "2026-06-13", "--json"]]])(
  "%j answers the same",
  async (args) => {
    const unix = await answer("unix", ...args);
    expect(unix.out.length).toBeGreaterThan(100);
    expect(unix.status).toBe(1);
    expect(await answer("windows", ...args)).toEqual(unix);
  },
);

test("a row is added to a log of either kind, and reads back the same", async () => {
  for (const kind of Object.keys(kinds)) {
    cpSync(place(kind), place(`${kind}-log`), { recursive: true });
    const logged = await answer(
      `${kind}-log`,
      ...["log", "cleaned", "--lane", "2", "--point", "plate", "--at", "2026-06-12"],
    );
    expect(logged.status).toBe(0);
  }
  const log = readFileSync(join(place("windows-log"), "work.csv"), "utf8");
  expect(log.replaceAll("\r\n", "").includes("\n")).toBe(false);
  const [unix, windows] = await Promise.all(
    Object.keys(kinds).map((kind) => answer(`${kind}-log`, "check", "--json")),
  );
  expect(windows).toEqual(unix);
});

test("what is written has one kind of line end in each file", async () => {
  const made = place("made");
  const asked = ["--lanes", "2", "--devices", "touchpad", "--dir", made];
  expect(
    (await runCommand([registerInit], ["init", "--name", "Kestrel Bay", ...asked])).status,
  ).toBe(0);
  await answer("windows", "check", "--out", join(made, "results"));
  const names = readdirSync(made, { recursive: true, encoding: "utf8" }).filter((name) =>
    /\.[a-z]+$/.test(name),
  );
  expect(names.length).toBeGreaterThan(5);
  for (const name of names) {
    const text = readFileSync(join(made, name), "utf8");
    const lone = text.replaceAll("\r\n", "").match(/[\r\n]/g)?.length ?? 0;
    const pairs = text.match(/\r\n/g)?.length ?? 0;
    expect([name, name.endsWith(".csv") ? lone : pairs]).toEqual([name, 0]);
  }
});
