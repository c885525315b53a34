import { describe, expect, test } from "vitest";
import { madePool } from "../../../src/intake/pool/made-pool.ts";
import { faultSum } from "../../../src/intake/pool/to-rules.ts";

const least = { pool: "Kestrel Bay", lanes: 4, devices: ["touchpad"] };
/** The last of some links, each for every circuit of a lane unless it says otherwise. */
const lastLink = (...chain: readonly Readonly<Record<string, unknown>>[]) =>
  madePool({
    ...least,
    chain: chain.map((link, k) => ({
      ...{ point: `p${k}`, connector: `c${k}`, shared_by: "lane" },
      ...link,
    })),
  }).links.at(-1)!;

describe("a link's class", () => {
  test.each([
    [[{ class: "plate", connector: "harness" }], "plate"],
    [[{ connector: "Timer Outlet", shared_by: "device" }], "outlet"],
    [[{ connector: "HARNESS" }], "harness"],
    [[{}, { point: "deck plate" }], "plate"],
    [[{}, { connector: "pod terminals" }], "pod"],
    // Not named after any: by who passes, by water, by its place.
    [[{ shared_by: "device" }], "pod"],
    [[{ shared_by: "device", wet: true }], "pod"],
    [[{ wet: true }], "plate"],
    [[{}, { wet: true }], "plate"],
    [[{}], "outlet"],
    [[{ wet: false }], "outlet"],
    [[{}, {}], "harness"],
  ])("%j: %s", (chain, kind) => {
    expect(lastLink(...chain).class).toBe(kind);
  });

  // The model's table, section 4, and its sentence on contacts that come and go.
  test.each([
    ["outlet", "pool", 0.02, 0.01, 0.7, 0.005],
    ["harness", "lane", 0.04, 0.01, 0.7, 0.005],
    ["plate", "lane", 0.08, 0.02, 0.7, 0.005],
    ["pod", "device", 0, 0.12, 0.7, 0.02],
  ])("%s gives what the link leaves out", (kind, shared, contaminated, fouled, dirty, comes) => {
    expect(lastLink({ class: kind, shared_by: shared }).priors).toMatchObject({
      ...{ contaminated, fouled, fouledIfContaminated: dirty, intermittent: comes },
      cableBreak: 0.002,
    });
  });

  test("the link's own figures come first, those of the model before the class's", () => {
    const own = { fouled: 0.2, intermittent: 0.1, cable_break: 0.05, wire_ohms: 3 };
    expect(lastLink({ class: "pod", shared_by: "device", ...own })).toMatchObject({
      wireOhms: 3,
      priors: { fouled: 0.2, intermittent: 0.1, cableBreak: 0.05 },
    });
    const pool = madePool({ ...least, model: { intermittent: 0.03, cable_break: 0.01 } });
    for (const { priors } of pool.links)
      expect([priors.intermittent, priors.cableBreak]).toEqual([0.03, 0.01]);
    const plain = madePool({ ...least, model: "plain" });
    for (const { priors } of plain.links)
      expect([priors.intermittent, priors.cableBreak]).toEqual([0, 0]);
  });

  test("no wire is no ohms, water only where it is said", () => {
    expect(lastLink({})).toMatchObject({ wireOhms: 0, wet: false });
    expect(lastLink({ wet: true }).wet).toBe(true);
  });
});

describe("supplies", () => {
  test("one supply is the timer's, and feeds all", () => {
    expect(madePool({ ...least, supply: { source_ohms: 220 } }).supplies).toMatchObject([
      { name: "timer", emf: 5, sourceOhms: 220 },
    ]);
    expect(madePool(least).supplies).toMatchObject([{ sourceOhms: null }]);
  });

  test("a device of an end, of another's plug, of a supply", () => {
    const pool = madePool({
      ...least,
      ends: ["start", "turn"],
      devices: [
        "touchpad",
        { name: "touchpad", end: "turn", lanes: [2] },
        { name: "platform", stacked_on: "touchpad", lanes: [3] },
      ],
    });
    expect(pool.circuits.map(({ lane, end, devices }) => [lane, end, devices])).toEqual([
      [1, "start", ["touchpad"]],
      [2, "start", ["touchpad"]],
      [2, "turn", ["touchpad"]],
      [3, "start", ["touchpad", "platform"]],
      [4, "start", ["touchpad"]],
    ]);
  });
});

test("what may be wrong with one contact adds up, in the worse state of the body", () => {
  const priors = { contaminated: 0.5, intermittent: 0.05, cableBreak: 0.02 };
  // 0.7 (1 + 0.1) + 0.02 + 0.05 = 0.84, and 0.8 (1 + 0.5) + 0.07 = 1.27.
  expect(faultSum({ ...priors, fouled: 0.1, fouledIfContaminated: 0.7 })).toBeCloseTo(0.84, 12);
  expect(faultSum({ ...priors, fouled: 0.8, fouledIfContaminated: 0.7 }, 0.5)).toBeCloseTo(
    1.27,
    12,
  );
});
