import { expect, test } from "vitest";
import type { CircuitView } from "../../src/diagnosis/evidence.ts";
import { rankConnectors } from "../../src/diagnosis/ranking.ts";
import type { Circuit } from "../../src/domain/circuit.ts";
import type { ContactFinding } from "../../src/domain/findings.ts";
import { circuitName } from "../../src/domain/place.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { steady } from "../made-findings.ts";
import { smallPool } from "../reference/builders.ts";

/** Points timer (the pool's), harness and plate (the lane's), pod (the device's). */
const pool = smallPool([1, 2], ["a", "b"]);

type Faults = Readonly<Record<string, Partial<ContactFinding>>>;
const viewOf = (circuit: Circuit, of: Faults = {}): CircuitView => ({
  circuit,
  contacts: circuit.path.map(({ point }) => ({
    ...{ ...circuitName(circuit), point, sound: 1, fouled: 0, open: 0, ...steady },
    ...{ ohms: { median: 0.2, low: 0.1, high: 0.4 }, voltsLost: 0 },
    ...of[point],
  })),
  // What conducts keeps readings from being evidence: nothing more is needed of them here.
  conducts: true,
  problem: { readings: circuit.path.map(() => [{}]) } as unknown as CircuitView["problem"],
  nuisance: {} as CircuitView["nuisance"],
  readings: [],
});
const view = (lane: number, device: string, of: Faults = {}): CircuitView =>
  viewOf(pool.circuits.find((one) => one.lane === lane && one.device === device)!, of);
const ranked = (
  views: readonly CircuitView[],
  body: Parameters<typeof rankConnectors>[2] = () => undefined,
) => rankConnectors(pool, views, body);
const told = (found: ReturnType<typeof ranked>) =>
  found.map(({ point, lane, device }) => [point, lane, device].filter((x) => x !== null).join(" "));

test("suspects come by the volts that they take, before all others by their chance", () => {
  const found = ranked([
    view(1, "a", {
      harness: { fouled: 0.49, voltsLost: 2 },
      plate: { fouled: 0.5, voltsLost: 0.1 },
      pod: { fouled: 0.9, voltsLost: -0.01 },
      timer: { fouled: 0.3, voltsLost: 1 },
    }),
    view(2, "b", { plate: { fouled: 0.6, voltsLost: 0.2 }, pod: { fouled: 0.02, voltsLost: 3 } }),
  ]);
  // Volts that a suspect seems to give back count as none; the rest stand by 0.49, 0.3, 0.02, 0.
  expect(told(found)).toEqual([
    ...["plate 2", "plate 1", "pod 1 a", "harness 1", "timer", "pod 2 b", "harness 2"],
  ]);
});

test("only connectors are ranked that a circuit read passes", () => {
  expect(told(ranked([view(1, "b")])).toSorted()).toEqual([
    ...["harness 1", "plate 1", "pod 1 b", "timer"],
  ]);
});

test("a fault is the contact's own: fouled, open but for its cable, or coming and going", () => {
  const of = { fouled: 0.2, open: 0.3, cable: 0.1, intermittent: 0.25 };
  const atFault = (given: Partial<ContactFinding>) =>
    ranked([view(1, "a", { pod: given })]).find(({ point }) => point === "pod")!.atFault;
  expect(atFault(of)).toBeCloseTo(0.65, 12);
  // Rounding makes no chance less than none or more than all.
  expect(atFault({ fouled: 0.7, intermittent: 0.3 + 1e-9 })).toBe(1);
  expect(atFault({ open: 0.1, cable: 0.1 + 1e-9 })).toBe(0);
});

test("of a shared connector the worst circuit speaks, its body's chance where it has one", () => {
  const views = [
    view(1, "a", { plate: { fouled: 0.7, voltsLost: 0.3 } }),
    view(1, "b", { plate: { fouled: 0.2, voltsLost: 0.4 } }),
    view(2, "a", { plate: { fouled: 0.9, voltsLost: 0.1 } }),
  ];
  const [own] = ranked(views).filter(({ point, lane }) => point === "plate" && lane === 1);
  expect(own).toMatchObject({ atFault: 0.2, voltsLost: 0.4, worst: { device: "b" } });
  const [body] = ranked(views, ({ place }) =>
    place.point === "plate" && place.lane === 1 ? 0.8 : undefined,
  );
  expect(body).toMatchObject({ point: "plate", lane: 1, atFault: 0.8, worst: { device: "b" } });
});

test("who suffers is named by device, and by lane where lanes share the connector", () => {
  const bad = { fouled: 0.5, voltsLost: 0.3 };
  const found = ranked([
    view(1, "a", { timer: bad, plate: bad }),
    view(1, "b", { plate: { fouled: 0.4, open: 0.2, cable: 0.11 } }),
    view(2, "b", { timer: bad, harness: { intermittent: 0.5 } }),
  ]);
  const named = (point: string, lane: number | null) =>
    found.find((one) => one.point === point && one.lane === lane)!.circuits;
  expect(named("timer", null)).toEqual(["lane 1 a", "lane 2 b"]);
  expect(named("plate", 1)).toEqual(["a"]);
  expect(named("harness", 2)).toEqual(["b"]);
  expect(named("harness", 1)).toEqual([]);
});

test("a circuit of no lane is named by its device alone", () => {
  const read = readPool(
    ["pool: start", "lanes: 2", "devices:", "  - pad", "  - { name: start, lanes: none }"].join(
      "\n",
    ),
    "pool.yaml",
  );
  if (!read.ok) throw new Error(read.error.map(({ message }) => message).join("; "));
  const start = read.value.circuits.find(({ lane }) => lane === null)!;
  const point = start.path[0]!.point;
  const [first] = rankConnectors(
    read.value,
    [viewOf(start, { [point]: { fouled: 0.9, voltsLost: 1 } })],
    () => undefined,
  );
  expect(first).toMatchObject({ point, circuits: ["start"] });
});

test("ways to fail from one in twenty on, the likeliest first, a broken cable apart", () => {
  const failing = (of: Partial<ContactFinding>) =>
    ranked([view(1, "a", { pod: of })]).find(({ point }) => point === "pod")!.fails;
  const all = failing({ fouled: 0.1, open: 0.7, cable: 0.5, intermittent: 0.15 });
  expect(all.map(({ how }) => how)).toEqual(["cable", "open", "comes-and-goes", "fouled"]);
  expect(all.map(({ probability }) => probability.toFixed(2))).toEqual([
    ...["0.50", "0.20", "0.15", "0.10"],
  ]);
  expect(failing({ fouled: 0.05, open: 0.049, intermittent: 0.04 })).toEqual([
    { how: "fouled", probability: 0.05 },
  ]);
});
