import { spawnSync } from "node:child_process";
import { expect, test } from "vitest";

/**
 * What DEVELOPERS.md tells to run and takes minutes, as small as it goes: it comes to its end, and
 * prints the line that its figures stand in. Left out is what has no smaller size (most timings), and
 * what needs a network or rewrites files of the checkout.
 */
const runs: readonly (readonly [command: string, prints: RegExp])[] = [
  ["study -- --walks 1", /stated 0\.\d+ +came [01]\.\d+/],
  ["study -- next --pools 1", /^guided +\d/m],
  ["study -- seasons --pools 1 --world fresh", /%/],
  ["study -- worlds --walks 1 --world as-modelled", /^as-modelled +\d/m],
  ["study -- fit --walks 2", /\d/],
  ["study -- rivals --walks 1", /^ +stuck/m],
  ["sheets", /^\| sums-below\.csv \| 3 \| 2 \|/m],
  ["fuzz -- 100 1", /^100 inputs in \d+ s: 0 wrong$/m],
  ["bench:cli-kills -- 1 undo", /^undo: 1 kills, .*: 0 lost or partial$/m],
  ["mutation -- --room circuit --file divider.ts", /^circuit: [\d.]+ %, \d+ of \d+ mutants/m],
];

test.each(runs)(
  "npm run %s",
  (command, prints) => {
    const [script, ...rest] = command.split(" ");
    const run = spawnSync("npm", ["run", "--silent", script!, ...rest], {
      encoding: "utf8",
      shell: process.platform === "win32",
      env: { ...process.env, NO_COLOR: "1" },
    });
    expect({ status: run.status, said: run.stderr }).toEqual({ status: 0, said: "" });
    expect(run.stdout).toMatch(prints);
  },
  120_000,
);
