import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest";
import { commands } from "./commands.ts";
import { runCommand, tooLong } from "./run-command.ts";

const folder = mkdtempSync(join(tmpdir(), "dropwise-lines-"));
const home = process.cwd();
const points = { timer: 0.1, harness: 0.7, plate: 2.7, pod: 3 };

/** Six weekly walks of two lanes by Ohm's law at 1000 ohm; lane 1's plate grows from 2 to 70 ohm. */
function season(): string {
  const rows = ["taken_at,lane,point,volts"];
  for (let week = 0; week < 6; week += 1)
    for (const lane of [1, 2])
      for (const [k, [point, copper]] of Object.entries(points).entries()) {
        const bad = lane === 1 && k >= 2 ? 2 * 2 ** week : 0;
        const volts = (5000 / (1000 + copper + 0.2 * (k + 1) + bad)).toFixed(2);
        rows.push(`2026-05-${String(1 + 5 * week).padStart(2, "0")},${lane},${point},${volts}`);
      }
  return `${rows.join("\n")}\n`;
}

beforeAll(() => {
  const write = (name: string, text: string) => writeFileSync(join(folder, name), text);
  const meters = "meters:\n  - { name: deck, load_ohms: 1000, resolution: 0.01 }\n";
  write("pool.yaml", `pool: Kestrel Bay\nmodel: plain\nlanes: 2\ndevices: [touchpad]\n${meters}`);
  write("readings.csv", season());
  write("monday.csv", "date,lane,point,volts\n13/06/2026,1,pod,4.98\n03/06/2026,2,pod,4.97\n");
  const logged = "2026-05-12,2,touchpad,pod,cleaned,10,KM";
  write("work.csv", `done_at,lane,device,point,action,minutes,by\n${logged}\n`);
  write("touches.csv", "lane,device,kind,tried,registered\n1,touchpad,fingertip,9,4\n");
  write("pads.csv", "taken_at,water_c,strokes,soaked_minutes\n2026-05-01,22,3,30\n");
  write("resistors.csv", "ohms,volts\n0,5.00\n100,4.55\n470,3.40\n1000,2.50\n");
  write(
    "people.csv",
    "point,by,volts\npod 1,KM,4.85\npod 1,KM,4.86\npod 1,RB,4.86\npod 1,RB,4.87\n" +
      "pod 2,KM,4.70\npod 2,KM,4.71\npod 2,RB,4.71\npod 2,RB,4.72\n",
  );
  mkdirSync(join(folder, "phone"));
  write("phone/work.csv", "done_at,lane,device,point,action\n2026-05-20,2,touchpad,pod,cleaned\n");
  process.chdir(folder);
});
beforeEach(() => process.chdir(folder));
afterAll(() => {
  process.chdir(home);
  rmSync(folder, { recursive: true });
});

test.each(commands)("%s --help fits a terminal, and its examples run", async (name, register) => {
  const { out } = await runCommand([register], [...name.split(" "), "--help"]);
  expect(tooLong(out)).toEqual([]);
  const examples = [...out.matchAll(/^ *\$ dropwise (.+)$/gm)].map((match) => match[1]!);
  expect(examples.length).toBeGreaterThan(0);
  // Asked for on a terminal: these have tests of their own.
  for (const example of examples.filter((one) => !/--guide|--ask/.test(one))) {
    const args = [...example.matchAll(/"([^"]*)"|(\S+)/g)].map(
      ([, quoted, bare]) => quoted ?? bare!,
    );
    const done = await runCommand([register], args);
    expect(done.status, `${example}: ${done.err}`).not.toBe(2);
    if (!args.includes("--json") && name !== "completion")
      expect(tooLong(done.out), example).toEqual([]);
    expect(tooLong(done.err), example).toEqual([]);
  }
});
