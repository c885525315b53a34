import { expect, test } from "vitest";
import { carry } from "../../src/policy/carry.ts";
import { contactChain } from "../../src/policy/contact-chain.ts";
import { push } from "../../src/policy/push.ts";
import { law } from "./sample-law.ts";

// By definition of a transpose; values and chances are any numbers.
test("chances pushed forward meet the values that were carried back", () => {
  const stormy = {
    ...law,
    life: { shape: 2.5, scale: 300 },
    steps: { perWeek: 0.02, rises: [{ value: 0.7, weight: 1 }] },
  };
  const chain = contactChain(stormy, 2);
  const states = chain.size * chain.ages.length;
  const wave = (k: number): number => 1 + Math.sin(k * 12.9898) / 2;
  const values = Float64Array.from({ length: states }, (_, k) => wave(k));
  const mass = Float64Array.from({ length: states }, (_, k) => wave(k + 0.5));
  const [back, forth] = [new Float64Array(states), new Float64Array(states)];
  carry(chain, values, back);
  push(chain, mass, forth);
  const dot = (a: Float64Array, b: Float64Array): number =>
    a.reduce((sum, x, k) => sum + x * b[k]!, 0);
  expect(dot(mass, back)).toBeCloseTo(dot(forth, values), 8);
  expect(
    dot(
      forth,
      forth.map(() => 1),
    ),
  ).toBeCloseTo(
    dot(
      mass,
      mass.map(() => 1),
    ),
    8,
  );
});
