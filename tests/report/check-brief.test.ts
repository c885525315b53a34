import { expect, test } from "vitest";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { checkBrief } from "../../src/report/check-brief.ts";
import { walkStanding } from "../../src/rooms/circuit-room.ts";
import { diagnose } from "../../src/rooms/diagnosis-room.ts";

const read = readPool(
  "pool: Kestrel Bay\nmodel: plain\nlanes: 8\ndevices: [touchpad, button-1]\n",
  "p",
);
if (!read.ok) throw new Error("the pool file is wrong");
const pool = read.value;

/** Every point by Ohm's law at 5 V and 1000 ohm, sound contacts of 0.2 ohm, and more where told. */
function brief(bad: Readonly<Record<string, readonly [string, number]>>): string {
  const rows = ["lane,device,point,volts"];
  for (const { lane, device, path } of pool.circuits) {
    let ohms = 0;
    for (const { point, wireOhms } of path) {
      const [where, more] = bad[`${lane} ${device}`] ?? ["", 0];
      ohms += wireOhms + 0.2 + (where === point ? more : 0);
      rows.push(`${lane},${device},${point},${(5000 / (1000 + ohms)).toFixed(2)}`);
    }
  }
  const { readings } = readReadings(`${rows.join("\n")}\n`, pool, "deck.csv");
  const diagnosis = diagnose(pool, readings);
  const standing = walkStanding(pool, diagnosis, readings);
  return checkBrief(pool, { diagnosis, standing, readings }, false);
}

test("a sound pool is told in at most twelve lines", () => {
  const text = brief({});
  expect(text).toContain("Sound: every circuit read is over its limit (4.80 V at the pod).");
  expect(text.trimEnd().split("\n").length).toBeLessThanOrEqual(12);
});

test("every suspect is named first, in walking order, and only what differs is shown", () => {
  const text = brief({ "7 button-1": ["harness", 120], "2 touchpad": ["plate", 120] });
  const [, ...lines] = text.split("\n");
  const headline = lines.slice(0, lines.indexOf("")).join(" ").replace(/\s+/g, " ");
  expect(headline).toMatch(
    /^Suspect, in walking order: lane 2 plate connector \(.*lane 7 harness connector \(/,
  );
  expect(text).toContain("14 other circuits are sound");
  expect(text.match(/^ +\d+ {2}(touchpad|button-1) /gm)).toHaveLength(2);
  expect(text).toContain("Before you open anything: alcohol away from oxidisers and flames");
  for (const line of text.split("\n")) expect([...line].length, line).toBeLessThanOrEqual(80);
  expect(text.trimEnd().split("\n").length).toBeLessThanOrEqual(40);
});
