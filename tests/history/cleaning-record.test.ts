import { expect, test } from "vitest";
import { cleaningRecord } from "../../src/history/cleaning-record.ts";
import { contactHistories } from "../../src/history/contact-history.ts";
import { poolFrom } from "../plain-pool.ts";
import { findingOf, poolOf, walkOf, workOf } from "./synthetic.ts";

const pool = poolOf(2, ["plate"]);
const at = (lane: number, day: number, ohms: number) =>
  ({
    day,
    finding: findingOf(pool, { lane, device: "touchpad", end: null, point: "plate" }, ohms, 3),
  }) as const;

/** Walks from `[day, ohms of lane 1, ohms of lane 2]`. */
const walksOf = (rows: readonly (readonly [number, number, number])[]) =>
  rows.map(([day, one, two]) => walkOf(day, [at(1, day, one).finding, at(2, day, two).finding]));

const recordOf = (
  rows: readonly (readonly [number, number, number])[],
  work: ReturnType<typeof workOf>[],
) => cleaningRecord(pool, contactHistories(pool, walksOf(rows), work));

test("a contact that came back to nothing had film; one that stayed where it was had not", () => {
  const record = recordOf(
    [
      [0, 60, 60],
      [7, 0.2, 58],
    ],
    [workOf(3, "cleaned", "plate", 1), workOf(3, "cleaned", "plate", 2)],
  );
  const [cured, worn] = record.connectors;
  expect(cured!.cleanings[0]!.film).toBeGreaterThan(0.99);
  expect(cured!.cleanings[0]!.recovered).toBeGreaterThan(0.9);
  expect(worn!.cleanings[0]!.film).toBeLessThan(0.01);
  expect(Math.abs(worn!.cleanings[0]!.recovered!)).toBeLessThan(0.1);
});

test("without a record the class stands at its prior, two to one for film", () => {
  const record = recordOf([[0, 60, 60]], []);
  expect(record.classes[0]).toMatchObject({ alpha: 2, beta: 1, cleanings: [] });
});

test("a sure case counts one on its side: Beta(1, 1) with 8 and 2 is Beta(9, 3)", () => {
  // Conjugate prior identity, here with the class's own prior Beta(2, 1). Mark: computed.
  const rows: (readonly [number, number, number])[] = [];
  const work = [];
  for (let k = 0; k < 8; k++) {
    rows.push([14 * k, 60, 0.2], [14 * k + 7, 0.2, 0.2]);
    work.push(workOf(14 * k + 3, "cleaned", "plate", 1));
  }
  for (let k = 8; k < 10; k++) {
    rows.push([14 * k, 0.2, 60], [14 * k + 7, 0.2, 60]);
    work.push(workOf(14 * k + 3, "cleaned", "plate", 2));
  }
  const [plate] = recordOf(rows, work).classes;
  expect(plate!.cleanings).toHaveLength(10);
  expect(plate!.alpha).toBeCloseTo(10, 1);
  expect(plate!.beta).toBeCloseTo(3, 1);
});

test("cleaning a sound contact, or one that no walk looked at again, teaches nothing", () => {
  const record = recordOf(
    [
      [0, 0.2, 60],
      [7, 0.2, 60],
    ],
    [workOf(3, "cleaned", "plate", 1), workOf(20, "cleaned", "plate", 2)],
  );
  const [plate] = record.classes;
  expect(plate!.alpha).toBeCloseTo(2, 1);
  expect(plate!.beta).toBeCloseTo(1, 1);
  expect(record.connectors[1]!.cleanings[0]).toMatchObject({ afterOhms: null, weeksHeld: null });
});

test("how long it held, and what ended that", () => {
  const rows = [
    [0, 60, 60],
    [7, 0.2, 0.2],
    [14, 0.2, 0.2],
    [21, 60, 0.2],
    [28, 60, 0.2],
  ] as const;
  const { connectors } = recordOf(rows, [
    workOf(0, "cleaned", "plate", 1),
    workOf(0, "cleaned", "plate", 2),
    workOf(14, "reseated", "plate", 2),
  ]);
  expect(connectors[0]!.cleanings[0]).toMatchObject({ weeksHeld: 3, heldUntil: "trouble" });
  expect(connectors[1]!.cleanings[0]).toMatchObject({ weeksHeld: 2, heldUntil: "next work" });
});

test("a connector without cleanings of its own borrows from its class, and no more than four", () => {
  const rows: (readonly [number, number, number])[] = [];
  const work = [];
  for (let k = 0; k < 20; k++) {
    rows.push([14 * k, 60, 0.2], [14 * k + 7, 0.2, 0.2]);
    work.push(workOf(14 * k + 3, "cleaned", "plate", 1));
  }
  const [, idle] = recordOf(rows, work).connectors;
  expect(idle!.alpha + idle!.beta).toBeCloseTo(4, 9);
  expect(idle!.alpha / (idle!.alpha + idle!.beta)).toBeGreaterThan(0.9);
});

test("a connector with several circuits is scored on the one that was worst", () => {
  const chain = [{ ...pool.chain[0]!, sharedBy: "lane" as const }];
  const shared = poolFrom({ ...pool, devices: ["touchpad", "button"], chain });
  const find = (device: string, ohms: number) =>
    findingOf(shared, { lane: 1, device, end: null, point: "plate" }, ohms, 3);
  const walks = [
    walkOf(0, [find("touchpad", 25), find("button", 200)]),
    walkOf(7, [find("touchpad", 0.2), find("button", 210)]),
  ];
  const record = cleaningRecord(
    shared,
    contactHistories(shared, walks, [workOf(3, "cleaned", "plate", 1)]),
  );
  expect(record.connectors).toHaveLength(1);
  expect(record.connectors[0]!.cleanings).toHaveLength(1);
  expect(record.connectors[0]!.cleanings[0]!.device).toBe("button");
  expect(record.contacts.map(({ cleanings }) => cleanings[0]!.film > 0.5)).toEqual([true, false]);
});

test("a cure that wore off before anybody looked is a cure, and nobody knows for how long it held", () => {
  // 150 ohm until the cleaning; ten weeks later a contact of 0.3 ohm that grows by 0.4 a week has
  // 0.3 exp(4) = 16 ohm, one whose trouble was metal has thousands.
  const late = walksOf([
    [0, 60, 0.2],
    [14, 134, 0.2],
    [91, 16, 0.2],
  ]);
  const histories = contactHistories(pool, late, [workOf(21, "cleaned", "plate", 1)]);
  const found = cleaningRecord(pool, histories, () => ({ growth: 0.4, growthVariance: 0.002 }));
  const { film, weeksHeld, heldUntil } = found.contacts[0]!.cleanings[0]!;
  expect(film).toBeGreaterThan(0.9);
  expect([weeksHeld, heldUntil]).toEqual([null, "trouble"]);
  // A contact that does not grow by itself was never cured.
  const [still] = cleaningRecord(pool, histories).contacts[0]!.cleanings;
  expect(still!.film).toBeLessThan(0.1);
  expect(still!.weeksHeld).toBe(0);
});
