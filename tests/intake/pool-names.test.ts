import { describe, expect, test } from "vitest";
import { madePool } from "../../src/intake/pool/made-pool.ts";
import { poolNames } from "../../src/intake/pool-names.ts";

/** Made anew by each test: a pool's names are remembered. */
const names = (changed: Readonly<Record<string, unknown>> = {}) =>
  poolNames(
    madePool({
      pool: "Kestrel Bay",
      lanes: [1, 2, 3, 10, "dive"],
      ends: ["start", "turn"],
      devices: ["touchpad", "button-1"],
      meters: [{ name: "deck" }, { name: "Bench meter" }],
      ...changed,
    }),
  );

describe("a lane", () => {
  test.each([
    ["3", 3],
    [" 3 ", 3],
    ["03", 3],
    ["3.", 3],
    ["3.00", 3],
    ["Lane 3", 3],
    ["LANE_3", 3],
    ["lane3", 3],
    ["L3", 3],
    ["l-03", 3],
    ["３", 3],
    ["10", 10],
    ["Dive", "dive"],
  ])("%j is %j", (typed, lane) => {
    expect(names().lane(typed)).toBe(lane);
  });

  test.each(["", "4", "3.5", "3.01", "lane", "33", "Bahn 3", "1 0", "-3"])(
    "%j is none",
    (typed) => {
      expect(names().lane(typed)).toBeNull();
    },
  );

  test("0 is a lane's name where the pool has it", () => {
    const pool = names({ lanes: "0-9" });
    expect([pool.lane("0"), pool.lane("00"), pool.lane("Lane 0"), pool.lane("9")]).toEqual([
      0, 0, 0, 9,
    ]);
  });
});

describe("other names", () => {
  test("case, blanks, hyphens, underscores and marks of direction don't tell", () => {
    const { device, end, point, meter } = names();
    expect(["Button 1", "BUTTON_1", " button--1 "].map(device)).toEqual(Array(3).fill("button-1"));
    expect(device("button-1\u200e")).toBe("button-1");
    expect(device("button-2")).toBeNull();
    expect(end("Turn")).toBe("turn");
    expect(end("touchpad")).toBeNull();
    expect(point("POD")).toBe("pod");
    expect(meter("bench-meter")).toBe("Bench meter");
    expect(meter("bench")).toBeNull();
  });

  test("a point may be called by its connector's name, unless two points have it", () => {
    expect(names().point("Pod Terminals")).toBe("pod");
    const link = (point: string, connector: string, sharedBy: string) => ({
      ...{ point, connector, shared_by: sharedBy },
    });
    const { point } = names({
      chain: [link("a", "plug", "pool"), link("b", "plug", "lane"), link("c", "a", "device")],
    });
    expect(point("plug")).toBeNull();
    // A point's own name goes before a connector's.
    expect(point("a")).toBe("a");
  });
});

describe("why a name was not found", () => {
  test("blank cells, strange ones, and what the pool has", () => {
    const { unknown } = names();
    expect(unknown("lane", "")).toBe("lane is blank");
    expect(unknown("device", "horn")).toBe(
      "device is 'horn': the pool file has touchpad, button-1",
    );
    expect(unknown("device", "buton-1")).toBe(
      "device is 'buton-1': the pool file has touchpad, button-1; did you mean 'button-1'?",
    );
    expect(unknown("lane", "7x7")).toBe("lane is '7x7': the pool file has 1, 2, 3, 10, dive");
  });

  test("a run of lanes is said by its ends, a long list is cut", () => {
    expect(names({ lanes: 8 }).unknown("lane", "77")).toContain("the pool file has 1 to 8");
    expect(names({ lanes: 2 }).unknown("lane", "77")).toContain("the pool file has 1, 2");
    const odd = Array.from({ length: 13 }, (_, k) => 2 * k + 1);
    expect(names({ lanes: odd }).unknown("lane", "x")).toContain("21, 23, …");
    expect(names({ lanes: odd.slice(1) }).unknown("lane", "x")).toMatch(/23, 25$/);
  });

  test("letters that look like digits", () => {
    const { unknown } = names();
    expect(unknown("lane", "lO")).toContain("did you mean '10'?");
    expect(unknown("lane", "I|")).not.toContain("did you mean");
    expect(unknown("device", "lO")).not.toContain("did you mean");
  });
});
