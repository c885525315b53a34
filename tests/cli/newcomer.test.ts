import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";

const folder = mkdtempSync(join(tmpdir(), "dropwise-newcomer-"));
afterAll(() => rmSync(folder, { recursive: true }));

/** A command line as a newcomer types it, in a terminal's place. */
function dropwise(...args: readonly string[]): { out: string; err: string; status: number | null } {
  const at = (path: string): string => join(process.cwd(), path);
  const typed = [at("src/cli/main.ts"), ...args];
  const done = spawnSync(at("node_modules/.bin/tsx"), typed, { cwd: folder, encoding: "utf8" });
  return { out: done.stdout, err: done.stderr, status: done.status };
}

/** A sheet of the newcomer's own, as a spreadsheet program exports it in half of the world. */
const own = `Deck check;;;;
Read by;RK;;;
;;;;
Date;Lane;Device;Point;Volts
24/08/2026;1;touchpad;plate;4,98
;;;pod;4,97
;2;touchpad;plate;4,99
;;;pod;4,46
;3;touchpad;plate;4,98
;;;pod;4,98
;4;touchpad;plate;4,97
;;;pod;4,96
`;

test("from a sheet of one's own to the right answer in three commands", () => {
  writeFileSync(join(folder, "monday.csv"), own);
  const begun = dropwise("init", "--name", "Kestrel Bay", "--lanes", "4", "--load", "1000");
  expect(begun.status, begun.err).toBe(0);
  const taken = dropwise("import", "monday.csv");
  expect(taken.status, taken.err).toBe(0);
  expect(taken.out).toContain("8 rows, 8 used; in readings/monday.csv");
  const { out, err, status } = dropwise("check");
  expect(status, err).toBe(1);
  expect(err).toContain("readings/monday.csv");
  // 0.52 V less behind the pod of lane 2 alone: that is where Ohm's law puts the resistance.
  expect(out).toContain("8 readings of 4 circuits");
  expect(out.toLowerCase()).toMatch(/lane 2[^\n]* pod/);
}, 120_000);
