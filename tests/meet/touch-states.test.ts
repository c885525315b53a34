import { describe, expect, test } from "vitest";
import { blameOf, missedRates } from "../../src/meet/touch-blame.ts";
import { faultySince, type PressPart, touchStates } from "../../src/meet/touch-states.ts";

/** Expectation of f under a beta density, by the midpoint rule: nothing shared with the code. */
function under(a: number, b: number, f: (p: number) => number): number {
  const steps = 20_000;
  let [up, norm] = [0, 0];
  for (let i = 0; i < steps; i++) {
    const p = (i + 0.5) / steps;
    const density = p ** (a - 1) * (1 - p) ** (b - 1);
    up += density * f(p);
    norm += density;
  }
  return up / norm;
}

const part = (session: number, place: string | null, tried: number, events: number): PressPart => ({
  ...{ session, place, tried, events },
});
const string = (p: number, events: number, tried: number): number =>
  p ** events * (1 - p) ** (tried - events);

describe("since when, and where", () => {
  test("two sessions and two places: Bayes' rule by quadrature", () => {
    const parts = [part(0, "left", 3, 0), part(1, "left", 2, 2), part(1, "right", 4, 0)];
    const [path, pad] = [0.2, 0.1];
    const good = (events: number, tried: number): number =>
      under(1, 49, (p) => string(p, events, tried));
    const weak = under(1, 3, (p) => string(p, 2, 9)) / 2;
    const weakSince = (good(0, 3) * under(1, 3, (p) => string(p, 2, 6))) / 2;
    const alike = (a: number, b: number): number =>
      (under(a, b, (p) => string(p, 2, 9)) + good(0, 3) * under(a, b, (p) => string(p, 2, 6))) / 2;
    const dead = (events: number, tried: number): number =>
      under(3, 1, (p) => string(p, events, tried));
    const left = (dead(2, 5) * good(0, 4) + dead(2, 2) * good(0, 7)) / 2;
    const right = (dead(0, 4) * good(2, 5) + dead(0, 4) * good(2, 5)) / 2;
    const weights = {
      neither: (1 - path) * (1 - pad) * good(2, 9),
      path: path * (1 - pad) * (weak + weakSince),
      pad: (1 - path) * pad * (0.5 * alike(1, 1.5) + 0.25 * (left + right)),
      both: path * pad * alike(1, 1),
    };
    const total = weights.neither + weights.path + weights.pad + weights.both;
    const blame = blameOf(touchStates(parts, path, pad, missedRates));
    for (const cause of ["neither", "path", "pad", "both"] as const)
      expect(blame[cause]).toBeCloseTo(weights[cause] / total, 4);
  });

  // The case as people tell it: yesterday's forty good ones do not excuse four misses today.
  test("forty that registered yesterday excuse no four misses today", () => {
    const parts = [part(0, null, 40, 0), part(1, null, 4, 4)];
    const states = touchStates(parts, 0.02, 0.02, missedRates);
    expect(blameOf(states).neither).toBeLessThan(0.01);
    expect(faultySince(states)).toBe(1);
    // Thrown together they would pass for a pad that misses one in eleven.
    const together = blameOf(touchStates([part(0, null, 44, 4)], 0.02, 0.02, missedRates));
    expect(together.neither).toBeGreaterThan(blameOf(states).neither);
  });

  test("misses at one edge alone are the pad's; a weak path misses anywhere", () => {
    const edge = [part(0, "left", 5, 5), part(0, "middle", 5, 0), part(0, "right", 5, 0)];
    const blame = blameOf(touchStates(edge, 0.3, 0.02, missedRates));
    expect(blame.pointsTo).toBe("pad");
    expect(blame.deadPlace?.place).toBe("left");
    const anywhere = [part(0, "left", 5, 2), part(0, "middle", 5, 1), part(0, "right", 5, 2)];
    expect(blameOf(touchStates(anywhere, 0.3, 0.02, missedRates)).pointsTo).toBe("path");
  });

  test("one miss among many, whenever, accuses nobody", () => {
    const parts = [part(0, "left", 20, 0), part(1, "left", 10, 1), part(1, "right", 10, 0)];
    const states = touchStates(parts, 0.02, 0.02, missedRates);
    expect(blameOf(states).pointsTo).toBe("neither");
    expect(faultySince(states)).toBe(0);
  });
});
