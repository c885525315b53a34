import { describe, expect, test } from "vitest";
import { bestReplacementAge, meanLifeUpTo, survival } from "../../src/policy/age-replacement.ts";
import { cleanMass } from "../../src/policy/clean-mass.ts";
import { contactChain, ofKind } from "../../src/policy/contact-chain.ts";
import { cleaned } from "../../src/policy/solve-chain.ts";
import { law } from "./sample-law.ts";

const made = () =>
  contactChain(
    {
      ...law,
      floor: [
        { value: Math.log(0.5), weight: 0.7 },
        { value: Math.log(0.9), weight: 0.3 },
      ],
      life: { shape: 2.5, scale: 300 },
    },
    2,
  );
const sum = (values: Float64Array): number => values.reduce((all, each) => all + each, 0);

describe("a cleaning of chances", () => {
  // By definition of a transpose; values and chances are any numbers.
  test("meets the values that a cleaning leads to", () => {
    const chain = made();
    const states = chain.size * chain.ages.length;
    const wave = (k: number): number => 1 + Math.sin(k * 12.9898) / 2;
    const values = Float64Array.from({ length: states }, (_, k) => wave(k));
    const mass = Float64Array.from({ length: states }, (_, k) => (k % 3 === 0 ? 0 : wave(k + 0.5)));
    const [back, forth] = [new Float64Array(states), new Float64Array(states)];
    cleaned(chain, values, back);
    cleanMass(chain, mass, forth);
    const dot = (a: Float64Array, b: Float64Array): number =>
      a.reduce((all, x, k) => all + x * b[k]!, 0);
    expect(dot(mass, back)).toBeCloseTo(dot(forth, values), 8);
    expect(sum(forth)).toBeCloseTo(sum(mass), 8);
  });

  // By hand, cure 0.8, oxide 0.3: 0.7 x 0.8 = 0.56 cured; the rest is oxide with 0.3 / 0.44.
  test("what is cured stands at its floor as film, what is not where it stood, likelier oxide", () => {
    const chain = made();
    const [block] = chain.blocks as readonly [(typeof chain.blocks)[number]];
    const [mass, after] = [0, 1].map(() => new Float64Array(chain.size * chain.ages.length)) as [
      Float64Array,
      Float64Array,
    ];
    // In the third age of four.
    const age = 2 * chain.size;
    mass[age + ofKind(block, block.start + 9, chain.kinds.fresh)] = 1;
    cleanMass(chain, mass, after);
    const failed = chain.kinds.oxide.findIndex((oxide) => Math.abs(oxide - 0.3 / 0.44) < 1e-12);
    expect(after[age + ofKind(block, block.start + 9, failed)]).toBeCloseTo(0.44, 12);
    const film = after.slice(age + block.start, age + block.start + block.levels.length);
    expect(sum(film)).toBeCloseTo(0.56, 12);
    expect(film[0]).toBeCloseTo(0.56 * 0.7, 12);
    expect(sum(after)).toBeCloseTo(1, 12);
  });

  test("what is open or comes and goes is mended as new, unless it is so for good", () => {
    const chain = made();
    const [block] = chain.blocks as readonly [(typeof chain.blocks)[number]];
    for (const [at, mends] of [
      [block.open, true],
      [block.open + 1, false],
      [block.intermittent, true],
      [block.intermittent + 1, false],
    ] as const) {
      const [mass, after] = [0, 1].map(() => new Float64Array(chain.size * chain.ages.length)) as [
        Float64Array,
        Float64Array,
      ];
      mass[at] = 1;
      cleanMass(chain, mass, after);
      expect(after[at]).toBe(mends ? 0 : 1);
      const floor = after[ofKind(block, block.start, chain.kinds.fresh)]!;
      expect(floor).toBeCloseTo(mends ? 0.7 : 0, 12);
      expect(sum(after)).toBeCloseTo(1, 12);
    }
  });
});

// By definition of the least: no age on a grid costs less, also where the best is beyond the scale.
test.each([
  [2.5, 1, 5],
  [1.5, 1, 1.6],
  [3, 1, 1.2],
])("shape %d, planned %d, breakdown %d: no other age costs less", (shape, planned, breakdown) => {
  const life = { shape, scale: 100 };
  const best = bestReplacementAge(life, planned, breakdown);
  const rate = (age: number): number =>
    (planned * survival(life, age) + breakdown * (1 - survival(life, age))) /
    meanLifeUpTo(life, age);
  expect(best.costRate).toBeCloseTo(rate(best.age), 9);
  for (let age = 2; age < 600; age += 2) expect(rate(age)).toBeGreaterThan(best.costRate - 1e-12);
  expect(best.costRate).toBeLessThan(best.runToBreakdownRate);
});

test("next to no difference in price: what is left to gain has no age that numbers tell", () => {
  const best = bestReplacementAge({ shape: 1.01, scale: 100 }, 1, 1.0001);
  expect(best.age).toBe(Number.POSITIVE_INFINITY);
  expect(best.costRate).toBe(best.runToBreakdownRate);
});
