import { describe, expect, test } from "vitest";
import { displaySteps } from "../../src/diagnosis/display-steps.ts";
import { nothingRead } from "../../src/diagnosis/nothing-read.ts";
import { stateChances } from "../../src/diagnosis/state-chances.ts";
import { loadOf, sourceOf } from "../../src/diagnosis/unknown-ohms.ts";
import { placeInWalk, walkOrder } from "../../src/diagnosis/walk-order.ts";
import { whatConducts } from "../../src/diagnosis/what-conducts.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { ohms } from "../../src/domain/units.ts";
import { meter, sheet, smallPool } from "../reference/builders.ts";

/** What a walk is taken to be, term by term from `src/MODEL.md`, worked by hand. */

const priors = { contaminated: 0.1, fouled: 0.1, fouledIfContaminated: 0.5 };

test("chances of a contact add to 1, its body clean or contaminated", () => {
  const all = { ...priors, cableBreak: 0.02, intermittent: 0.03 };
  const [clean, dirty] = stateChances(all, 0.1);
  // Open in the connector is a tenth of fouled: 1 - 0.1 - 0.01 - 0.02 - 0.03, 1 - 0.5 - 0.05 - 0.05.
  expect(clean).toMatchObject({ fouled: 0.1, cable: 0.02, intermittent: 0.03 });
  expect(clean.open).toBeCloseTo(0.01, 12);
  expect(clean.sound).toBeCloseTo(0.84, 12);
  expect(dirty.sound).toBeCloseTo(0.4, 12);
  const over = { ...all, fouledIfContaminated: 0.95 };
  expect(() => stateChances(over, 0.1)).toThrow("a contact's chances add to 1.095");
  const just = {
    ...priors,
    fouledIfContaminated: 0,
    fouled: 0.5,
    cableBreak: 0.5,
    intermittent: 0,
  };
  expect(stateChances(just, 0)[0].sound).toBe(0);
});

test("what conducts: the device at the path's end, water where a link is wet, by their chances", () => {
  const path = [
    { connector: { wet: false } },
    { connector: { wet: true } },
    { connector: { wet: true } },
  ];
  const terms = { stuck: 0.005, leaking: 0.01, wetLeak: 0.003 };
  type Given = Parameters<typeof whatConducts>;
  const found = whatConducts({ path } as unknown as Given[0], terms as Given[1]);
  expect(found).toEqual(
    expect.arrayContaining([
      { kind: "stuck", link: 2, chance: 0.005, medianOhms: 2, logSd: 1 },
      { kind: "leaking", link: 2, chance: 0.01, medianOhms: 2000, logSd: 1.5 },
      { kind: "wet", link: 1, chance: 0.003, medianOhms: 2000, logSd: 1.5 },
      { kind: "wet", link: 2, chance: 0.003, medianOhms: 2000, logSd: 1.5 },
    ]),
  );
  expect(found).toHaveLength(4);
  const none = { ...terms, stuck: 0, wetLeak: 0 };
  const left = whatConducts({ path } as unknown as Given[0], none as Given[1]);
  expect(left.map(({ kind }) => kind)).toEqual(["leaking"]);
});

test("a source and a load are what the pool file says, else even chances of the usual and any", () => {
  expect(sourceOf({ sourceOhms: ohms(47) }).exact).toEqual([{ chance: 1, ohms: 47 }]);
  expect(loadOf({ loadOhms: ohms(1000) }).exact).toEqual([{ chance: 1, ohms: 1000 }]);
  expect(sourceOf({ sourceOhms: null })).toEqual({
    exact: [{ chance: 0.5, ohms: 0 }],
    ...{ medianOhms: 220, logSd: 1 },
  });
  expect(loadOf({ loadOhms: null })).toEqual({
    exact: [{ chance: 0.5, ohms: 1e7 }],
    ...{ medianOhms: 2000, logSd: 1.5 },
  });
});

describe("the order of a walk", () => {
  const at = (line: number, seconds: number | null): Reading => ({
    ...sheet([[1, "a", "pod", 4.9]])[0]!,
    ...{ line, takenAt: seconds === null ? null : { text: "", day: "2026-05-02", seconds } },
  });
  const lines = (readings: readonly Reading[]) =>
    walkOrder(readings).readings.map(({ line }) => line);

  test("is that of time where every reading has one, rows of one moment as they stand", () => {
    expect(lines([at(2, 30), at(3, 10), at(4, 30), at(5, 20)])).toEqual([3, 5, 2, 4]);
    expect(walkOrder([at(2, 30)]).timed).toBe(true);
  });

  test("is that of the rows where one has none", () => {
    expect(lines([at(2, 30), at(3, null), at(4, 10)])).toEqual([2, 3, 4]);
    expect(walkOrder([at(2, 30), at(3, null)]).timed).toBe(false);
    expect(walkOrder([]).timed).toBe(false);
  });

  test("goes from -1/2 to 1/2", () => {
    expect([0, 1, 2, 3, 4].map((i) => placeInWalk(i, 5))).toEqual([-0.5, -0.25, 0, 0.25, 0.5]);
    expect(placeInWalk(0, 1)).toBe(0);
    expect(placeInWalk(1, 2)).toBe(0.5);
  });
});

test("a display's step is the pool file's, else the finest that its own readings show, 0.1 V at most", () => {
  const meters = [meter("deck", 1000, 0.001), meter("shed", 1000, null), meter("idle", 1000, null)];
  const shown = [
    ...sheet([[1, "a", "pod", 4.9, "shed"]], 0.02),
    ...sheet([[1, "a", "pod", 4.9, "shed"]], 0.01),
    ...sheet([[1, "a", "pod", 4.9, "deck"]], 0.0001),
  ];
  expect([...displaySteps({ meters }, shown)]).toEqual([
    ["deck", 0.001],
    ["shed", 0.01],
    ["idle", 0.1],
  ]);
});

test("of a walk that nobody read, the supply is what the pool file says, nine times in ten", () => {
  const found = nothingRead(smallPool([1], ["a"]), "monday");
  expect(found.walk).toBe("monday");
  // 1.6449 standard deviations of 0.05 V.
  expect(found.emf.median).toBe(5);
  expect(found.emf.low).toBeCloseTo(4.91776, 5);
  expect(found.emf.high).toBeCloseTo(5.08224, 5);
  expect(found.drift).toEqual({ median: 0, low: 0, high: 0 });
  const { walk: _, emf: __, drift: ___, fit, logEvidence, ...lists } = found;
  expect(fit).toEqual({ p: null, worst: [] });
  expect(logEvidence).toBe(0);
  for (const list of Object.values(lists)) expect(list).toEqual([]);
});
