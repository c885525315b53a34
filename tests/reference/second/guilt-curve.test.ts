import { expect, test } from "vitest";
import { along, meter, usualFacility } from "./case-builders.ts";
import { guiltCurve, leastAfter } from "./guilt-curve.ts";
import { readWalk } from "./read-circuits.ts";

/**
 * No reading gets less suspect by being worse: section 4 of the model, at its defaults and a source
 * without resistance. Where the reading could be a leak's, "a fault" has to include it: of contacts
 * alone the chance dips to 0.77 at loads of 100 kohm.
 */
test.each([
  [300, 0.01],
  [1000, 0.01],
  [3000, 0.1],
  [100_000, 0.01],
  [100_000, 0.1],
])("over one reading of a %d ohm meter, step %d V, guilt stays at 0.8 or more", (load, step) => {
  const facility = {
    ...usualFacility([1], ["pad"]),
    supplies: [{ name: "A", emf: 5, emf_sd: 0.05, source_ohms: 0 }],
    meters: [{ ...meter("deck", load), resolution: step }],
  };
  const curve = guiltCurve(readWalk(facility, along([1, "pad"], [["pod", 4]])), 1024);
  expect(leastAfter(curve, curve.wrong, 0.8).least).toBeGreaterThanOrEqual(0.8);
  expect(leastAfter(curve, curve.contact, 0.8).least).toBeGreaterThan(0.75);
  expect(curve.wrong[0]).toBeGreaterThan(0.92);
  expect(curve.wrong[Math.round(5 / step)]).toBeLessThan(0.25);
});
