import { describe, expect, test } from "vitest";
import type { Place } from "../../src/domain/place.ts";
import {
  type CellFault,
  circuitOfCells,
  placeOfCells,
  pointFault,
} from "../../src/intake/circuit-cells.ts";
import { madePool } from "../../src/intake/pool/made-pool.ts";
import { poolNames } from "../../src/intake/pool-names.ts";
import { tenLanes } from "../facility/ten-lanes.ts";

/** Lanes 0 to 9, pads at both ends of 3 to 6, a platform stacked on button-1 of 4 and 5, a start. */
const pool = tenLanes();
const names = poolNames(pool);

const cells = (lane: string, device = "", end = "", point = "") => ({ lane, device, end, point });
const circuit = (...of: readonly [lane: string, device?: string, end?: string]): string => {
  const found = circuitOfCells(pool, names, cells(...of));
  if (!("circuit" in found)) return found.map(({ kind, words }) => `${kind}: ${words}`).join("; ");
  const { lane, device, end } = found.name;
  return `${lane} ${device} ${end}`;
};
const isPlace = (found: Place | readonly CellFault[]): found is Place => !Array.isArray(found);
const place = (point: string, lane = "", device = "", end = ""): string => {
  const found = placeOfCells(pool, names, cells(lane, device, end, point));
  if (!isPlace(found)) return found.map(({ kind, words }) => `${kind}: ${words}`).join("; ");
  return [found.point, found.lane, found.device, found.end, found.lanes.join(" ")].join("|");
};

describe("the circuit that a row's cells mean", () => {
  test("an empty device is the lane's first, an empty end the first there", () => {
    expect(circuit("4")).toBe("4 touchpad start");
    expect(circuit("4", "button-1")).toBe("4 button-1 start");
    expect(circuit("4", "touchpad", "turn")).toBe("4 touchpad turn");
    expect(circuit("4", "", "turn")).toBe("4 touchpad turn");
  });

  test("a stacked device lies on the circuit that it is plugged into, by its own name", () => {
    const found = circuitOfCells(pool, names, cells("4", "platform"));
    if (!("circuit" in found)) throw new Error("no circuit");
    expect(found.name).toEqual({ lane: 4, device: "platform", end: "start" });
    expect(found.circuit.device).toBe("button-1");
  });

  test("a circuit of no lane is none, a dash, or its device alone", () => {
    for (const lane of ["none", "NONE", "-", "–", ""])
      expect(circuit(lane, "start")).toBe("null start null");
    expect(circuit("none")).toBe("null start null");
  });

  test("nothing at all says no circuit", () => {
    expect(circuit("")).toBe("lane: lane is blank");
    expect(circuit("", "touchpad")).toBe("lane: lane is blank");
  });

  test("a lane that is called none is a lane", () => {
    const own = madePool({ pool: "x", lanes: [1, "none"], devices: ["touchpad"] });
    const found = circuitOfCells(own, poolNames(own), cells("none"));
    expect("circuit" in found && found.name.lane).toBe("none");
  });

  test("every unknown name is told", () => {
    expect(circuit("12", "horn", "middle")).toBe(
      "lane: lane is '12': the pool file has 0 to 9; did you mean '1'?; " +
        "device: device is 'horn': the pool file has touchpad, button-1, button-2, button-3, platform, start; " +
        "end: end is 'middle': the pool file has start, turn",
    );
  });

  test("what a lane has in place of what was asked for", () => {
    expect(circuit("1", "platform")).toBe(
      "device: lane 1 has no platform: it has touchpad (start), button-1 (start), button-2 (start)",
    );
    expect(circuit("1", "", "turn")).toBe(
      "device: lane 1 has no device at the turn end: it has touchpad (start), button-1 (start), button-2 (start)",
    );
    expect(circuit("none", "touchpad")).toBe("device: the facility has no touchpad: it has start");
    const bare = madePool({ pool: "x", lanes: 1, devices: ["touchpad"] });
    const found = circuitOfCells(bare, poolNames(bare), cells("none", "touchpad"));
    expect(found).toEqual([
      {
        kind: "device",
        words: "the facility has no touchpad: it has no circuit that belongs to no lane",
      },
    ]);
    const half = madePool({ pool: "x", lanes: 2, devices: [{ name: "touchpad", lanes: [1] }] });
    expect(circuitOfCells(half, poolNames(half), cells("2"))).toEqual([
      { kind: "device", words: "lane 2 has no device: it has no device" },
    ]);
  });
});

describe("a point of a circuit", () => {
  const of = (lane: string, device: string, point: string) => {
    const found = circuitOfCells(pool, names, cells(lane, device));
    if (!("circuit" in found)) throw new Error("no circuit");
    return pointFault(found, point);
  };
  test("that it passes is no fault; another is told with its own points", () => {
    expect(of("4", "touchpad", "pod")).toBeNull();
    expect(of("4", "touchpad", "start plug")).toEqual({
      kind: "point",
      words:
        "lane 4 touchpad does not pass the start plug: its points are timer, harness, plate, pod",
    });
    expect(of("none", "start", "pod")).toEqual({
      kind: "point",
      words: "the start does not pass the pod: its points are timer, start plug",
    });
  });
});

describe("the place that a row of the work log means", () => {
  test("what all pass needs no lane, and none is read", () => {
    expect(place("timer")).toBe("timer||||0 1 2 3 4 5 6 7 8 9");
    expect(place("Timer Outlet", "77")).toBe("timer||||0 1 2 3 4 5 6 7 8 9");
    expect(place("start plug")).toBe("start plug||start||");
  });

  test("a harness by any of its lanes, whatever the device", () => {
    expect(place("harness", "7")).toBe("harness||||5 6 7 8 9");
    expect(place("harness", "0", "button-1")).toBe("harness||||0 1 2 3 4");
    expect(place("harness")).toBe("lane: lane is blank");
    expect(place("harness", "77")).toBe(
      "lane: lane is '77': the pool file has 0 to 9; did you mean '7'?",
    );
  });

  test("a plate by its lane, and by its end where there are two", () => {
    expect(place("plate", "1")).toBe("plate|1||start|1");
    expect(place("plate", "4", "", "turn")).toBe("plate|4||turn|4");
    expect(place("plate", "4", "", "start")).toBe("plate|4||start|4");
    expect(place("plate", "4", "button-1")).toBe("plate|4||start|4");
    expect(place("plate", "4")).toBe(
      "end: end is blank: plate belongs to one end, so say which: start, turn",
    );
  });

  test("a pod by its device", () => {
    expect(place("pod", "1", "button-1")).toBe("pod|1|button-1|start|1");
    expect(place("pod", "4", "touchpad", "turn")).toBe("pod|4|touchpad|turn|4");
    expect(place("pod", "1")).toBe(
      "device: device is blank: pod belongs to one device, so say which: touchpad, button-1, button-2",
    );
    expect(place("pod", "", "button-1")).toBe("lane: lane is blank");
    expect(place("pod", "1", "platform")).toBe(
      "device: lane 1 has no platform: it has touchpad (start), button-1 (start), button-2 (start)",
    );
    expect(place("pod", "1", "start")).toContain("lane 1 has no start");
  });

  test("a device itself, and its plug", () => {
    expect(place("device", "1", "touchpad")).toBe("device|1|touchpad|start|1");
    expect(place(" DEVICE ", "1")).toBe("device|1|touchpad|start|1");
    expect(place("device", "none", "start")).toBe("device||start||");
    expect(place("plug", "4", "platform")).toBe("plug|4|button-1|start|4");
    expect(place("plug", "2", "touchpad")).toBe("plug|2|touchpad|start|2");
    expect(place("device", "1", "platform")).toContain("lane 1 has no platform");
  });

  test("an unknown point", () => {
    expect(place("pid", "1")).toBe(
      "point: point is 'pid': the pool file has timer, harness, plate, pod, start plug, plug; did you mean 'pod'?",
    );
    expect(place("")).toBe("point: point is blank");
  });
});

test("a point of lanes and of none: a device of no lane tells by itself", () => {
  const own = madePool({
    pool: "x",
    lanes: 2,
    devices: ["touchpad", { name: "start", lanes: "none" }, { name: "horn", lanes: "none" }],
    chain: [{ point: "pod", connector: "pod terminals", shared_by: "device" }],
  });
  const at = (lane: string, device: string) =>
    placeOfCells(own, poolNames(own), cells(lane, device, "", "pod"));
  expect(at("", "start")).toMatchObject({ lane: null, device: "start" });
  expect(at("none", "horn")).toMatchObject({ lane: null, device: "horn" });
  expect(at("none", "")).toMatchObject([{ kind: "device" }]);
  expect(at("2", "")).toMatchObject({ lane: 2, device: "touchpad" });
  expect(at("", "touchpad")).toMatchObject([{ kind: "lane", words: "lane is blank" }]);
});
