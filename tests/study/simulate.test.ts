import { expect, test } from "vitest";
import { smallPool } from "../reference/builders.ts";
import { trulyAtFault } from "./connector.ts";
import { firstWeakPoint, largestDrop, shownPaths } from "./hand-rules.ts";
import { seededRandom } from "./random.ts";
import { type Circumstances, simulateWalk, type TrueContact } from "./simulate.ts";

const pool = smallPool([1, 2, 3], ["touchpad", "button"]);
const asModelled: Circumstances = { missing: 0, meterOff: 0.02, allSound: false };

test("the same seed draws the same walk, another seed another", () => {
  const walk = (seed: number) => simulateWalk(pool, seededRandom(seed), asModelled);
  expect(walk(4)).toEqual(walk(4));
  expect(walk(4)).not.toEqual(walk(5));
});

const random = seededRandom(1);
const walks = Array.from({ length: 3000 }, () => simulateWalk(pool, random, asModelled));
const contacts = walks.flatMap((walk) => walk.contacts);

/** Share of contacts at a point that are in a state. */
const share = (point: string, state: TrueContact["state"]): number => {
  const there = contacts.filter(({ link }) => link.point === point);
  return there.filter((contact) => contact.state === state).length / there.length;
};

// The marginal priors follow from the model's table by the rule of total probability: the plate is
// fouled with 0.92 * 0.02 + 0.08 * 0.7. Bands are five standard errors wide, bodies shared by two
// devices counted.
test("states come as often as the prior says", () => {
  expect(Math.abs(share("plate", "fouled") - 0.0744)).toBeLessThan(0.012);
  expect(Math.abs(share("harness", "fouled") - 0.0376)).toBeLessThan(0.009);
  expect(Math.abs(share("pod", "fouled") - 0.12)).toBeLessThan(0.013);
  expect(Math.abs(share("pod", "open") - 0.012)).toBeLessThan(0.005);
});

test("resistances are log-normal with the stated medians and spreads", () => {
  const logs = contacts.filter((c) => c.state === "fouled").map((c) => Math.log(c.ohms));
  const mean = logs.reduce((sum, x) => sum + x, 0) / logs.length;
  const sd = Math.sqrt(logs.reduce((sum, x) => sum + (x - mean) ** 2, 0) / logs.length);
  expect(Math.abs(mean - Math.log(60))).toBeLessThan((5 * 1.2) / Math.sqrt(logs.length));
  expect(Math.abs(sd - 1.2)).toBeLessThan((5 * 1.2) / Math.sqrt(2 * logs.length));
});

test("a body's two circuits suffer together far more often than by chance", () => {
  const both = walks.flatMap(({ contacts: all }) =>
    pool.lanes.map(
      (lane) =>
        all.filter((c) => c.lane === lane && c.link.point === "plate" && c.state !== "sound")
          .length === 2,
    ),
  );
  // 0.08 * 0.77^2 + 0.92 * 0.022^2 = 0.0479, against 0.0819^2 = 0.0067 without the body.
  expect(Math.abs(both.filter(Boolean).length / both.length - 0.0479)).toBeLessThan(0.012);
});

test("zeros come from open contacts and from meters that went off, and from little else", () => {
  const sound = simulateWalk(pool, seededRandom(9), { missing: 0, meterOff: 0, allSound: true });
  expect(sound.readings.length).toBe(24);
  expect(trulyAtFault(sound).size).toBe(0);
  const open = walks.find(({ contacts: all }) => all[0]?.state === "open");
  expect(open?.readings.slice(0, 4).filter(({ volts }) => volts < 0.1).length).toBeGreaterThan(2);
});

test("points that were skipped are missing", () => {
  const some = simulateWalk(pool, seededRandom(2), { ...asModelled, missing: 0.5 });
  expect(some.readings.length).toBeGreaterThan(4);
  expect(some.readings.length).toBeLessThan(20);
});

test("both rules of thumb point at one plain drop", () => {
  const { readings } = simulateWalk(pool, seededRandom(9), {
    ...asModelled,
    allSound: true,
    meterOff: 0,
  });
  const weak = readings.map((reading) =>
    reading.lane === 2 && reading.device === "button" && ["plate", "pod"].includes(reading.point)
      ? { ...reading, volts: (reading.volts - 0.4) as typeof reading.volts }
      : reading,
  );
  const verdict = { first: "plate 2", accused: new Set(["plate 2"]) };
  expect(largestDrop(shownPaths(pool, weak), pool.supply.emf)).toEqual(verdict);
  expect(firstWeakPoint(shownPaths(pool, weak))).toEqual(verdict);
});
