import { describe, expect, test } from "vitest";
import { readPool } from "../../../src/intake/pool/read-pool.ts";

const least = { pool: "Kestrel Bay", lanes: 4, devices: ["touchpad", "button-1"] };
const link = (point: string, sharedBy: unknown, more = {}) => ({
  ...{ point, connector: `${point} plug`, shared_by: sharedBy },
  ...more,
});

/** Everything that is wrong with a file: where, and the sentence. */
const wrong = (more: Readonly<Record<string, unknown>>): readonly string[] => {
  const read = readPool(JSON.stringify({ ...least, ...more }), "pool.yaml");
  return read.ok ? [] : read.error.map(({ place, message }) => `${place}: ${message}`);
};

test("the least file has nothing wrong with it", () => {
  expect(wrong({})).toEqual([]);
});

describe("names that nothing has", () => {
  test.each([
    [
      { devices: ["touchpad", { name: "button-1", lanes: [2, 9] }] },
      "devices[1].lanes: '9' is none of the pool's lanes; allowed: 1, 2, 3, 4",
    ],
    [
      { devices: ["touchpad", { name: "touchpad", end: "turn" }] },
      "devices[1].end: 'turn' is none of the pool's ends; allowed: none",
    ],
    [
      { devices: ["touchpad", { name: "platform", stacked_on: "horn" }] },
      "devices[1].stacked_on: 'horn' is none of the devices; allowed: touchpad, platform",
    ],
    [
      {
        devices: ["touchpad", { name: "start", lanes: "none", supply: "B" }],
        supplies: [{ name: "A" }],
      },
      "devices[1].supply: 'B' is none of the supplies; allowed: A",
    ],
    [
      { supplies: [{ name: "A", lanes: "1-5" }] },
      "supplies[0].lanes: '5' is none of the pool's lanes; allowed: 1, 2, 3, 4",
    ],
    [
      {
        chain: [
          link("timer", "pool"),
          link("trunk", [
            [1, 2],
            [3, 4, 7],
          ]),
        ],
      },
      "chain[1].shared_by: '7' is none of the pool's lanes; allowed: 1, 2, 3, 4, touchpad, button-1",
    ],
    [
      { chain: [link("pod", "device"), link("plate", "lane", { only: { lanes: [8] } })] },
      "chain[1].only.lanes: '8' is none of the pool's lanes; allowed: 1, 2, 3, 4",
    ],
    [
      { chain: [link("pod", "device"), link("plate", "lane", { except: { devices: ["horn"] } })] },
      "chain[1].except.devices: 'horn' is none of the devices; allowed: touchpad, button-1",
    ],
    [
      { chain: [link("pod", "device", { only: { ends: ["turn"] } })], ends: ["start"] },
      "chain[0].only.ends: 'turn' is none of the pool's ends; allowed: start",
    ],
    [
      { lane_needs: { first: "pad", fall_back: ["button-1"] } },
      "lane_needs: 'pad' is none of the devices; allowed: touchpad, button-1",
    ],
    [
      { lane_needs: { first: "touchpad", fall_back: ["button-9"] } },
      "lane_needs: 'button-9' is none of the devices; allowed: touchpad, button-1",
    ],
    [
      { limit: { volts: 4.8, meter: "bench" } },
      "limit.meter: 'bench' is none of the meters; allowed: deck",
    ],
    [
      { costs: { connectors: { pid: { part: 3 } } } },
      "costs.connectors.pid: 'pid' is no point of the chain; allowed: timer, harness, plate, pod",
    ],
  ])("%j", (more, sentence) => {
    expect(wrong(more)).toEqual([sentence]);
  });
});

describe("names that occur twice, case and blanks aside", () => {
  test.each([
    [{ lanes: [1, 2, "a", "A"] }, "lanes[3]: 'A' occurs twice; each only once"],
    [{ ends: ["start", "START"] }, "ends[1]: 'START' occurs twice; each only once"],
    [
      { meters: [{ name: "deck meter" }, { name: "Deck_Meter" }] },
      "meters[1].name: 'Deck_Meter' occurs twice; each only once",
    ],
    [
      {
        supplies: [
          { name: "A", lanes: [1, 2] },
          { name: "a", lanes: [3, 4] },
        ],
      },
      "supplies[1].name: 'a' occurs twice; each only once",
    ],
    [
      {
        chain: [
          link("trunk", [
            [1, 2],
            [2, 3, 4],
          ]),
        ],
      },
      "chain[0].shared_by[2]: '2' occurs twice; each only once",
    ],
  ])("%j", (more, sentence) => {
    expect(wrong(more)).toEqual([sentence]);
  });
});

describe("links", () => {
  test.each([
    [
      link("a", "lane", { wire_ohms: 1, wire: { awg: 22, metres: 3 } }),
      "chain[0]: found both wire_ohms and wire; allowed: one of the two",
    ],
    [
      link("a", "device", { contaminated: 0.1 }),
      "chain[0].contaminated: found 0.1; a connector of one device has no body to share, so leave contaminated out here and say all in fouled",
    ],
    [
      link("plug", "lane"),
      "chain[0].point: 'plug' is kept for a device and its plug; call the point otherwise",
    ],
    [
      link("plug-2", "lane"),
      "chain[0].point: 'plug-2' is kept for a device and its plug; call the point otherwise",
    ],
    [
      link("device", "lane"),
      "chain[0].point: 'device' is kept for a device and its plug; call the point otherwise",
    ],
    [
      link("a", "lane", { fouled: 0.9, intermittent: 0.2, cable_break: 0 }),
      "chain[0]: P(fouled), P(open), P(intermittent) and P(cable break) add to 1.19; allowed: at most 1",
    ],
  ])("%j", (one, sentence) => {
    expect(wrong({ chain: [one] })).toEqual([sentence]);
  });

  test("a point like those names, and no contamination at all, are fine", () => {
    expect(
      wrong({ chain: [link("plugs", "lane"), link("plug-x", "device", { contaminated: 0 })] }),
    ).toEqual([]);
  });

  test("chances that add to one are fine; the worse state of the body counts", () => {
    const sure = { intermittent: 0, cable_break: 0 };
    const at = (more: object) => wrong({ chain: [link("a", "lane", { ...sure, ...more })] }).length;
    expect(at({ fouled: 0.9, fouled_if_contaminated: 0.9 })).toBe(0);
    expect(at({ fouled: 0.1, fouled_if_contaminated: 0.95 })).toBe(1);
    expect(at({ fouled: 0.95, fouled_if_contaminated: 0.1 })).toBe(1);
  });
});

describe("what can't be laid", () => {
  const ends = { ends: ["start", "turn"] };
  test.each([
    [
      { devices: ["touchpad", { name: "touchpad", lanes: [2] }] },
      "devices[1]: lane 2 has this device at this end already; allowed: once",
    ],
    [
      {
        devices: ["touchpad", { name: "start", lanes: "none" }, { name: "start", lanes: "none" }],
      },
      "devices[2]: the facility has this device at this end already; allowed: once",
    ],
    [
      { lanes: 1, devices: [{ name: "platform", stacked_on: "button-1" }, "button-1"] },
      "devices[0].stacked_on: lane 1 has no such device before this one in the list",
    ],
    [
      {
        lanes: 2,
        supplies: [
          { name: "A", lanes: [1] },
          { name: "B", lanes: [1] },
        ],
        devices: ["touchpad"],
      },
      "devices[0]: no supply feeds lane 2; name it in supplies, or as this device's supply",
    ],
    [
      { chain: [link("a", "lane"), link("b", "lane", { only: { ends: ["turn"] } })], ...ends },
      "chain[1]: no circuit passes this link; mend shared_by, only or except, or leave it out",
    ],
    [
      { lanes: 2, devices: ["touchpad"], chain: [link("a", "lane", { only: { lanes: [1] } })] },
      "devices[0]: no link of the chain is for it in lane 2; it needs at least one",
    ],
    [
      {
        lanes: 2,
        devices: ["touchpad"],
        supplies: [
          { name: "A", lanes: [1] },
          { name: "B", lanes: [2] },
        ],
        chain: [link("timer", [[1, 2]]), link("pod", "device")],
      },
      "chain[0].shared_by: one connector would hold circuits of the supplies A and B",
    ],
  ])("%j", (more, sentence) => {
    expect(wrong(more)).toEqual([sentence]);
  });

  test("a point twice on one way", () => {
    const [first] = wrong({
      lanes: 1,
      devices: ["touchpad"],
      chain: [link("a", "lane"), link("a", "device")],
    });
    expect(first).toBe(
      "chain[1].point: 'a' occurs twice on the way of one circuit; each only once",
    );
  });

  test("connectors that share some circuits and not all of either's", () => {
    const groups = (one: number[][]) => [link("a", one[0] === undefined ? [] : one)];
    const chain = [
      ...groups([
        [1, 2],
        [3, 4],
      ]),
      link("b", [[1], [2, 3], [4]]),
    ];
    expect(wrong({ devices: ["touchpad"], chain })).toEqual([
      "chain: the a plug of lanes 1, 2 and the b plug of lanes 2, 3 share some circuits but not all of either's; " +
        "allowed: one holds all of the other's, or they share none",
    ]);
  });

  test("more lanes than a pool may have", () => {
    expect(wrong({ lanes: "0-99" })).toEqual(["lanes: found 0-99; allowed: at most 99 lanes"]);
    expect(wrong({ lanes: "1-99" })).toEqual([]);
  });
});

describe("volts and ohms", () => {
  test.each([
    [{ limit: { volts: 5.5 } }, "limit.volts: found 5.5; allowed: at most the emf, which is 5"],
    [{ limit_volts: 5.5 }, "limit_volts: found 5.5; allowed: at most the emf, which is 5"],
    [
      {
        supplies: [
          { name: "A", emf: 5 },
          { name: "B", emf: 4.7, lanes: [] },
        ],
        limit: { volts: 4.75 },
      },
      null,
    ],
    [
      { limit: { ohms: 40, volts: 4.8 } },
      "limit: found ohms beside volts or meter; allowed: ohms alone",
    ],
    [
      { limit: { ohms: 40, meter: "deck" } },
      "limit: found ohms beside volts or meter; allowed: ohms alone",
    ],
    [
      { timer_input: { low_max: 2, high_min: 2 } },
      "timer_input: found low_max 2 and high_min 2; allowed: low_max < high_min < the emf, which is 5",
    ],
    [
      { timer_input: { low_max: 1, high_min: 5 } },
      "timer_input: found low_max 1 and high_min 5; allowed: low_max < high_min < the emf, which is 5",
    ],
    [
      {
        contact: {
          fouled: [
            { share: 0.5, median_ohms: 60, log_sd: 1 },
            { share: 0.4, median_ohms: 0.1, log_sd: 1 },
          ],
        },
      },
      "contact.fouled[1].median_ohms: found 0.1; allowed: more ohms than contact.sound.median_ohms, which is 0.2",
    ],
    [
      { contact: { fouled: { median_ohms: 0.2 } } },
      "contact.fouled.median_ohms: found 0.2; allowed: more ohms than contact.sound.median_ohms, which is 0.2",
    ],
    [
      { meters: [{ name: "deck", off_after: [60, 45] }] },
      "meters[0].off_after: found [60, 45]; allowed: the earlier number of seconds first",
    ],
    [
      { costs: { labour_per_hour: { value: 40, low: 50, high: 60 } } },
      "costs.labour_per_hour: found 50, 40, 60; allowed: low <= value <= high",
    ],
    [
      { costs: { lanes_at_risk: 5 } },
      "costs.lanes_at_risk: found 5; allowed: at most 4, the pool's lanes",
    ],
  ])("%j", (more, sentence) => {
    if (sentence !== null) expect(wrong(more)[0]).toBe(sentence);
    else expect(wrong(more).length).toBeGreaterThan(0);
  });

  test("shares that do not add to one", () => {
    const parts = [0.5, 0.4].map((share) => ({ share, median_ohms: 60, log_sd: 1 }));
    expect(wrong({ contact: { fouled: parts } })).toEqual([
      "contact.fouled: found shares that add to 0.9; allowed: 1",
    ]);
  });

  test("what stands at a bound is allowed", () => {
    expect(wrong({ limit: { volts: 5 } })).toEqual([]);
    expect(wrong({ meters: [{ name: "deck", off_after: [60, 60] }] })).toEqual([]);
    expect(
      wrong({ costs: { labour_per_hour: { value: 40, low: 40, high: 40 }, lanes_at_risk: 4 } }),
    ).toEqual([]);
    expect(wrong({ limit: { ohms: 40 } })).toEqual([]);
  });
});

describe("old keys beside new ones", () => {
  test.each([
    [
      { supply: {}, supplies: [{ name: "A" }] },
      "supply: found both supply and supplies; allowed: one of the two",
    ],
    [
      { limit_volts: 4.8, limit: { volts: 4.8 } },
      "limit_volts: found both limit_volts and limit; allowed: one of the two",
    ],
    [
      { misread: 0.01, model: { misread: 0.01 } },
      "misread: found here and in model; allowed: one of the two",
    ],
  ])("%j", (more, sentence) => {
    expect(wrong(more)).toEqual([sentence]);
  });

  test("the old key alone reads", () => {
    expect(wrong({ misread: 0.01, model: { tails: 0 } })).toEqual([]);
    expect(wrong({ misread: 0.01, model: "plain" })).toEqual([]);
    expect(wrong({ limit_volts: 4.8 })).toEqual([]);
  });
});

describe("values of a wrong kind", () => {
  test.each([
    [{ lanes: "4" }, /^lanes: found '4'; allowed: a list of lanes .*; did you mean 4\?$/],
    [{ lanes: null }, /^lanes: found an empty value; allowed: /],
    [{ lanes: [] }, /^lanes: found an empty list; allowed: /],
    [{ lanes: {} }, /^lanes: found a mapping; allowed: /],
    [{ devices: [["touchpad"]] }, /^devices\[0\]: found a list; allowed: /],
    [{ devices: [{ lanes: [1] }] }, /^devices\[0\]\.name: is missing; needed: a device's name$/],
    [
      { pool: "  x" },
      /^pool: found ' {2}x'; allowed: the facility's name, one line with no blanks around it$/,
    ],
    [
      { pool: "x".repeat(61) },
      /^pool: found 'x{40}…'; allowed: the facility's name, at most 60 characters$/,
    ],
    [{ misread: "0,02" }, /; did you mean 0\.02\?$/],
    [{ misread: "0,0.2" }, /a probability from 0 to 0\.5$/],
    [{ pool: 5 }, /^pool: found 5; allowed: the facility's name$/],
  ])("%j", (more, sentence) => {
    const all = wrong(more);
    expect(all).toHaveLength(1);
    expect(all[0]).toMatch(sentence);
  });
});

describe("characters without a shape in a name", () => {
  const named = (pool: string): readonly string[] => wrong({ pool });
  test.each([
    "\u{1f3ca}\u200d\u2640\ufe0f",
    "Bahn \u{1f3ca}\u200d\u2640\ufe0f 1",
    "\u0645\u06cc\u200c\u0631\u0648\u062f",
  ])("%j is a name: emoji and Persian are joined inside", (pool) => {
    expect(named(pool)).toEqual([]);
  });
  test.each([
    "po\u200dd",
    "\u200dpod",
    "\u{1f3ca}\u200d",
    "pod\u200c\u{1f3ca}",
    "a\u202eb",
    "a\u200bb",
    "a\u0007b",
  ])("%j is none", (pool) => {
    expect(named(pool)).toHaveLength(1);
  });
});
