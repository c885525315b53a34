import { expect, test } from "vitest";
import { circuitOf, connectorsAt, servedBy } from "../../src/domain/place.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { tenLanes, tenLanesYaml } from "../facility/ten-lanes.ts";

const pool = tenLanes();
const faults = (text: string): string => {
  const read = readPool(text, "pool.yaml");
  return read.ok ? "" : read.error.map(({ place, message }) => `${place}: ${message}`).join("\n");
};
const pathOf = (lane: number | null, device: string, end: string | null = "start") =>
  circuitOf(pool, { lane, device, end })?.path.map(({ connector }) => connector.name);

// Counted by hand: 10 touchpads, 4 at the turn, 10 + 10 buttons, 3 third buttons, 1 start.
test("ten lanes with all that differs have 38 circuits, and no phantom", () => {
  expect(pool.circuits).toHaveLength(38);
  expect(circuitOf(pool, { lane: 0, device: "button-3", end: "start" })).toBeUndefined();
  expect(circuitOf(pool, { lane: 7, device: "touchpad", end: "turn" })).toBeUndefined();
  expect(pool.circuits.filter(({ lane }) => lane === null)).toHaveLength(1);
});

test("a circuit passes what is for it, and nothing else", () => {
  expect(pathOf(4, "touchpad")).toEqual([
    "timer outlet",
    "harness connector",
    "wall plate",
    "pod terminals",
  ]);
  expect(pathOf(5, "touchpad")?.[2]).toBe("deck plate");
  expect(pathOf(5, "touchpad", "turn")?.[2]).toBe("turn plate");
  expect(pathOf(null, "start", null)).toEqual(["timer outlet", "start plug"]);
});

test("a platform on a plug is one step more on the button's own circuit", () => {
  const platform = circuitOf(pool, { lane: 4, device: "platform", end: "start" });
  expect(platform).toBe(circuitOf(pool, { lane: 4, device: "button-1", end: "start" }));
  expect(platform?.path.at(-1)).toMatchObject({
    point: "plug",
    connector: { name: "button-1 plug" },
  });
  expect(pathOf(3, "button-1")).toHaveLength(4);
});

// By hand: lanes 0 to 4 have 3 + 3 + 4 + 5 + 5 circuits (touchpads, turn pads, buttons).
test("two harnesses of five lanes hold their own lanes' circuits", () => {
  const harnesses = pool.connectors.filter(({ point }) => point === "harness");
  expect(harnesses.map(({ place }) => place.lanes)).toEqual([
    [0, 1, 2, 3, 4],
    [5, 6, 7, 8, 9],
  ]);
  expect(harnesses.map(({ circuits }) => circuits.length)).toEqual([20, 17]);
  expect(servedBy(pool, harnesses[0]!.place)).toHaveLength(20);
  const at = { point: "harness", lane: 7, device: null, end: null };
  expect(connectorsAt(pool, at)).toEqual([harnesses[1]]);
});

test("sharing sets that cut across each other are one clear error that names both", () => {
  const crossed = tenLanesYaml.replace(
    "- { point: pod,",
    '- { point: tail, connector: tail joint, shared_by: ["3-6", "7-9"] }\n  - { point: pod,',
  );
  expect(faults(crossed)).toMatch(
    /^chain: the .*harness connector of lanes? 0, .* and the .*tail joint/,
  );
});

test.each([
  ["devices: [pad, { name: pad, lanes: [1] }]", "has this device at this end already"],
  ["devices: [pad, { name: top, stacked_on: pod }]", "'pod' is none of the devices"],
  ["devices: [pad, { name: pad, end: far }]", "'far' is none of the pool's ends"],
  ['lanes: "1-200"\ndevices: [pad]', "at most 99"],
  [
    "devices: [pad]\nchain: [{ point: a, connector: b, shared_by: [[1, 2]] }]",
    "no link of the chain",
  ],
  ["devices: [pad]\nchain: [{ point: a, connector: b, shared_by: [[1, 2], [2]] }]", "occurs twice"],
  [
    "devices: [pad]\nsupplies: [{ name: A, lanes: [1] }, { name: B, lanes: [2] }]",
    "no supply feeds",
  ],
])("%s is refused", (lines, message) => {
  const lanes = lines.includes("lanes:") && lines.startsWith("lanes") ? "" : "lanes: 3\n";
  expect(faults(`pool: x\n${lanes}${lines}\n`)).toContain(message);
});
