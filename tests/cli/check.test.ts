import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { registerCheck } from "../../src/cli/check.ts";
import { runCommand } from "./run-command.ts";

const POOL = "pool: Kestrel Bay\nmodel: plain\nlanes: 3\ndevices: [touchpad, button-1]\n";
const FOULED_PLATE = `lane,device,point,volts
1,touchpad,timer,4.99
1,touchpad,harness,4.98
1,touchpad,plate,4.62
1,touchpad,pod,4.61
2,touchpad,timer,4.98
2,touchpad,harness,4.98
2,touchpad,plate,4.97
2,touchpad,pod,4.96
`;

function folder(files: Readonly<Record<string, string>>): string {
  const at = mkdtempSync(join(tmpdir(), "check-"));
  for (const [name, text] of Object.entries(files)) writeFileSync(join(at, name), text);
  return at;
}

const check = (at: string, ...args: readonly string[]) =>
  runCommand([registerCheck], ["check", "--details", "--pool", join(at, "pool.yaml"), ...args]);

test("a fouled plate is named in the JSON as the contract says, with exit status 1", async () => {
  const at = folder({ "pool.yaml": POOL, "deck.csv": FOULED_PLATE });
  const { out, status } = await check(at, join(at, "deck.csv"), "--json");
  const answer = JSON.parse(out);
  expect(status).toBe(1);
  expect(Object.keys(answer)).toEqual(["schema", "pool", "walks", "rows", "rejected"]);
  const [walk] = answer.walks;
  expect(walk.walk).toBe("deck");
  expect(walk.connectors[0]).toMatchObject({
    connector: "plate connector",
    point: "plate",
    lane: 1,
    device: null,
    circuits: ["touchpad"],
  });
  // Ohm's law on neighbours: 1000 * 5 * (1/4.62 - 1/4.98) - 2 = 76 ohm, copper's 2 ohm taken off.
  const plate = walk.contacts.find(
    (one: { lane: number; point: string }) => one.lane === 1 && one.point === "plate",
  );
  expect(plate.ohms.median).toBeGreaterThan(70);
  expect(plate.ohms.median).toBeLessThan(83);
  expect(walk.contacts).toHaveLength(8);
  expect(walk.connectors).toHaveLength(7);
});

test("no line is over 80 columns, and the circuits that suffer stand with their suspect", async () => {
  const doubted = FOULED_PLATE.replace("2,touchpad,plate,4.97", "2,touchpad,plate,7.40");
  const input = "timer_input: { low_max: 0.8, high_min: 2.0 }\nsupply: { source_ohms: 500 }\n";
  const at = folder({ "pool.yaml": POOL, "known.yaml": POOL + input, "deck.csv": doubted });
  for (const pool of ["pool.yaml", "known.yaml"]) {
    const args = ["check", "--details", "--pool", join(at, pool), join(at, "deck.csv")];
    const { out } = await runCommand([registerCheck], args);
    if (pool === "pool.yaml") expect(out).toContain("Circuits that suffer: touchpad.");
    for (const line of out.split("\n")) expect([...line].length, line).toBeLessThanOrEqual(80);
  }
});

test("who may have to lift a pad reads that it takes two", async () => {
  const at = folder({ "pool.yaml": POOL, "deck.csv": FOULED_PLATE });
  expect((await check(at, join(at, "deck.csv"))).out).toContain("Two people lift a touchpad");
  const outlet = FOULED_PLATE.replaceAll(/,4\.\d+$/gm, ",4.60");
  writeFileSync(join(at, "outlet.csv"), outlet);
  const { out } = await check(at, join(at, "outlet.csv"));
  expect(out).toContain("Before you clean");
  expect(out).not.toContain("Two people");
});

test("a pool within its limits ends with status 0", async () => {
  const sound = FOULED_PLATE.replace("4.62", "4.97").replace("4.61", "4.96");
  const at = folder({ "pool.yaml": POOL, "deck.csv": sound });
  const { out, status } = await check(at, join(at, "deck.csv"));
  expect(status).toBe(0);
  expect(out).toContain("Every circuit read is sound (limit 4.80 V at the pod).");
});

test("an open-circuit quantile is null in JSON, and the text says open", async () => {
  const open = FOULED_PLATE.replace("4.62", "0").replace("4.61", "0");
  const at = folder({ "pool.yaml": POOL, "deck.csv": open });
  const answer = JSON.parse((await check(at, join(at, "deck.csv"), "--json")).out);
  const plate = answer.walks[0].contacts.find(
    (one: { lane: number; point: string }) => one.lane === 1 && one.point === "plate",
  );
  expect(plate.open).toBeGreaterThan(0.5);
  expect(plate.ohms.high).toBeNull();
  expect((await check(at, join(at, "deck.csv"))).out).toContain("0.00 open");
});

test("rows that cannot be used are listed, and written with --out", async () => {
  const at = folder({ "pool.yaml": POOL, "deck.csv": `${FOULED_PLATE}3,touchpad,pod,"4,9l"\n` });
  const { err, status } = await check(at, join(at, "deck.csv"), "--out", join(at, "out"));
  expect(status).toBe(1);
  expect(err).toContain("line 10");
  expect(err).toContain("did you mean 4.91?");
  expect(readFileSync(join(at, "out", "rejected.csv"), "utf8")).toContain("4,9l");
  expect(JSON.parse(readFileSync(join(at, "out", "check.json"), "utf8")).rejected).toHaveLength(1);
  expect(readFileSync(join(at, "out", "check.txt"), "utf8")).toContain("lane 1 plate connector");
});

test("bad input gets one sentence and status 2, and nothing on standard output", async () => {
  const at = folder({ "pool.yaml": POOL, "bad.yaml": "lanes: 0\n", "empty.csv": "" });
  for (const args of [
    ["--pool", join(at, "absent.yaml"), join(at, "empty.csv")],
    ["--pool", join(at, "bad.yaml"), join(at, "empty.csv")],
    ["--pool", join(at, "pool.yaml"), join(at, "empty.csv")],
    ["--pool", join(at, "pool.yaml"), at],
  ]) {
    const { out, err, status } = await runCommand([registerCheck], ["check", ...args]);
    expect([out, status]).toEqual(["", 2]);
    expect(err.trim().split("\n")).toHaveLength(1);
  }
});

test("an unknown load still ranks, and calls no circuit sound until it is measured", async () => {
  const unknown = `${POOL}meters:\n  - { name: deck, load_ohms: unknown, resolution: 0.01 }\n`;
  const at = folder({ "pool.yaml": unknown, "deck.csv": FOULED_PLATE });
  const answer = JSON.parse((await check(at, join(at, "deck.csv"), "--json")).out);
  const [walk] = answer.walks;
  expect(walk.connectors[0]).toMatchObject({ point: "plate", lane: 1 });
  expect(walk.connectors[0].atFault).toBeGreaterThan(0.95);
  expect(walk.circuits.map((one: { verdict: string }) => one.verdict)).not.toContain("sound");
  // With 1,000 ohm, the first version's silent default, Ohm's law gives 76 ohm; nobody knows that.
  const { low, high } = walk.contacts[2].ohms;
  expect(high / low).toBeGreaterThan(3);
  const { out, status } = await check(at, join(at, "deck.csv"));
  expect(status).toBe(1);
  expect(out.replace(/\s+/g, " ")).toContain("One resistor of known value");
});

test("several walks in several files come in the order of time, each alone if it is asked for", async () => {
  const [head, ...rows] = FOULED_PLATE.trim().split("\n");
  const on = (day: string, some: readonly string[]) =>
    `${head},taken_at\n${some.map((row) => `${row},${day}`).join("\n")}\n`;
  const at = folder({
    "pool.yaml": POOL,
    "b.csv": on("2026-05-09", rows.slice(0, 5)) + on("2026-05-02", rows).replace(/^.*\n/, ""),
    "a.csv": on("2026-05-09", rows.slice(5)),
    "alone.csv": on("2026-05-09", rows),
  });
  const json = async (...args: string[]) =>
    JSON.parse((await check(at, ...args, "--alone", "--json")).out);
  const sheets = [join(at, "b.csv"), join(at, "a.csv")];
  const both = await json(...sheets);
  expect(both.walks.map((one: { walk: string }) => one.walk)).toEqual(["2026-05-02", "2026-05-09"]);
  const alone = await json(join(at, "alone.csv"));
  // The rows are those of all sheets, whichever walk is asked for.
  const [latest, asked] = [await json(...sheets, "--latest"), "2026-05-09"];
  expect({ ...latest, rows: alone.rows }).toEqual(alone);
  expect(await json(...sheets, "--walk", asked)).toEqual(latest);
  expect(both.walks[1]).toEqual(alone.walks[0]);
  const { out } = await check(at, ...sheets, "--alone", "--json");
  expect(out).toBe(`${JSON.stringify(both, null, 2)}\n`);
  const unknown = await check(at, ...sheets, "--walk", "2026-05-03");
  expect(unknown.err).toContain("there are 2026-05-02, 2026-05-09");
});

test("a warning says its file and its line", async () => {
  const twice = FOULED_PLATE + FOULED_PLATE.split("\n")[3];
  const colour = twice.replaceAll(/^(.*)$/gm, "$1,red").replace("volts,red", "volts,colour");
  const at = folder({ "pool.yaml": POOL, "deck.csv": colour });
  const { err } = await check(at, join(at, "deck.csv"));
  expect(
    err
      .replaceAll(at, "")
      .replace(/\n {2}/g, " ")
      .split("\n"),
  ).toEqual([
    "dropwise: /deck.csv, line 1: not used: column 'colour'",
    expect.stringMatching(/^dropwise: \/deck.csv, line 10: the same as line 4 in every column/),
    "",
  ]);
});

test("margins on a 5 V TTL input behind 1 kΩ", async () => {
  // Thresholds of 0.8 V and 2.0 V: Kuphaldt, Lessons In Electric Circuits, vol. IV, ch. 3. The input
  // reaches them where 1000 * 0.8 / 4.2 = 190.5 Ω and 1000 * 2 / 3 = 666.7 Ω lie beyond it. Path:
  // 3.0 Ω of copper and four contacts of 0.2 Ω, lane 2 with 120 Ω more in the pod; switch of 2 Ω.
  const pool = `${POOL}supply: { source_ohms: 1000 }
timer_input: { low_max: 0.8, high_min: 2.0 }
limit_volts: 2.42
`;
  const series = [0.3, 1.1, 3.3, 3.8];
  const points = ["timer", "harness", "plate", "pod"];
  const resting = (lane: number, extra: number) =>
    points.map((point, k) => {
      const path = series[k]! + (k === 3 ? extra : 0);
      return `${lane},touchpad,${point},${(5000 / (2000 + path)).toFixed(2)},rest`;
    });
  const pressed = ["1,touchpad,pod,0.01,pressed"];
  const rows = ["lane,device,point,volts,state", ...resting(1, 0), ...resting(2, 120), ...pressed];
  const at = folder({ "pool.yaml": pool, "deck.csv": `${rows.join("\n")}\n` });
  const text = (await check(at, join(at, "deck.csv"))).out.replace(/\s+/g, " ");
  const margin = (lane: number): number[] =>
    (
      new RegExp(`lane ${lane} touchpad: can gain \\d+ Ω [^(]*\\((\\d+) to (\\d+)\\)`).exec(text) ??
      []
    )
      .slice(1)
      .map(Number);
  const holds = ([low, high]: number[], truth: number, within: number) => {
    expect(low).toBeLessThan(truth);
    expect(high).toBeGreaterThan(truth);
    expect(high! - low!).toBeLessThan(within);
  };
  holds(margin(1), 190.5 - 3.8 - 2, 80);
  holds(margin(2), 190.5 - 123.8, 100);
  expect(text).toContain("touch at 0.80 V or under, rest at 2.00 V or over");
  expect(text).toMatch(
    /lane 2 touchpad: can gain \d+ Ω before a touch is missed \(\d+ to \d+\) \*/,
  );
});

test("without the timer's figures there are no margins, and one line says what to ask for", async () => {
  const at = folder({ "pool.yaml": POOL, "deck.csv": FOULED_PLATE });
  const { out } = await check(at, join(at, "deck.csv"));
  expect(out.match(/ask the timer's maker/g)).toHaveLength(1);
  expect(out.replace(/\s+/g, " ")).toContain("supply.source_ohms");
  expect(out).not.toContain("before a touch is missed");
});

// A closed switch of 2 ohm behind 200 ohm leaves 5 V * 2 / 202 = 0.05 V (voltage divider): all points
// of the path stand near it. So they do behind a fouled outlet of tens of kilohms: the readings
// cannot tell the two, and the act that would is said.
test("a device that may be stuck closed is said, with what would tell", async () => {
  const stuck = `lane,device,point,volts
1,touchpad,timer,4.16
1,touchpad,harness,4.17
1,touchpad,plate,4.15
1,touchpad,pod,4.16
2,touchpad,timer,0.07
2,touchpad,harness,0.06
2,touchpad,plate,0.05
2,touchpad,pod,0.05
`;
  const pool = "pool: Kestrel Bay\nlanes: 2\ndevices: [touchpad]\nsupply: { source_ohms: 200 }\n";
  const meter = "meters:\n  - { name: deck, load_ohms: 1000, resolution: 0.01 }\n";
  const at = folder({ "pool.yaml": pool + meter, "deck.csv": stuck });
  const { out, status } = await check(at, join(at, "deck.csv"));
  const text = out.replace(/\s+/g, " ");
  expect(status).toBe(1);
  expect(text).toContain("lane 2 touchpad: the device is stuck closed");
  expect(text).toContain("unplug the device and read again");
});
