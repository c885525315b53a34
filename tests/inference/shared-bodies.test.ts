import { describe, expect, test } from "vitest";
import { emptyShelf } from "../../src/inference/chain/circuit-model.ts";
import { infer } from "../../src/inference/infer.ts";
import { exactOhms, type WalkProblem } from "../../src/inference/problem.ts";
import { normalDensity } from "../reference/normal.ts";
import { pathSums } from "./path-sums.ts";
import { chances, circuit, reading, walkOf } from "./small-walks.ts";

/**
 * Five circuits that show some 4.8 V behind one body: the supply is low, or the body has fouled all of
 * its contacts. Against the trapezoidal rule over the EMF, and at each EMF over the contacts' ohms, once
 * for a clean body and once for a contaminated one.
 */
const fine = { noise: 0.02, halfStep: 0.005, tails: 0.05, floor: 1e-6, slope: 0.999 };
const sound = [{ share: 1, medianOhms: 0.2, logSd: 0.8 }];
const lower = [0, 0.01, -0.01, 0.02, 0];

function walkWith(logSd: number, shown: number, contaminated: number): WalkProblem {
  const fouled = [{ share: 1, medianOhms: 30, logSd }];
  const states = [chances({}), chances({ fouled: 0.95 })] as const;
  const one = { wireOhms: 1, body: 0, states, sound, fouled };
  return walkOf(
    lower.map((more, c) => circuit([one], [[reading(c, shown + more, fine)]])),
    {
      supplies: [{ emf: 5, emfSd: 0.05, sourceOhms: exactOhms(0) }],
      bodies: [{ contaminated }],
    },
  );
}

/** ln of the evidence, and P(the body holds a contact that has fouled). */
function byGrid(walk: WalkProblem): { readonly logEvidence: number; readonly atFault: number } {
  const [{ contaminated }] = walk.bodies as [{ contaminated: number }];
  const places = { sound: 31, fouled: 401 };
  const step = 0.1;
  let [all, sound] = [0, 0];
  for (let z = -6; z <= 6 + 1e-9; z += step) {
    const place = { emf: 5 + 0.05 * z, drift: 0, noiseScale: 1, source: 0, loads: [1000] };
    const weight = step * normalDensity(z);
    for (const [state, chance] of [1 - contaminated, contaminated].entries()) {
      let [whole, ifSound] = [weight * chance, weight * chance];
      for (const own of walk.circuits) {
        const given = own.links[0]!.states[state as 0 | 1];
        const { likelihood, states } = pathSums(walk, own, place, { chances: () => given }, places);
        whole *= likelihood;
        ifSound *= states[0]![0]!;
      }
      all += whole;
      sound += ifSound;
    }
  }
  return { logEvidence: Math.log(all), atFault: 1 - sound / all };
}

describe("a body that may have fouled all its circuits, or a supply that is low", () => {
  test.each([
    [0.1, 4.8, 0.02],
    [0.3, 4.8, 0.02],
    [0.3, 4.8, 0.3],
    [0.3, 4.85, 0.3],
    [1.2, 4.8, 0.3],
  ])("films of width %d, some %d V, contaminated by %d", (logSd, shown, contaminated) => {
    const walk = walkWith(logSd, shown, contaminated);
    const { logEvidence, bodyAtFault } = infer(walk, emptyShelf(1000));
    const grid = byGrid(walk);
    expect(Math.abs(logEvidence - grid.logEvidence)).toBeLessThan(0.01);
    expect(Math.abs(bodyAtFault.get(0)! - grid.atFault)).toBeLessThan(0.005);
  });
});
