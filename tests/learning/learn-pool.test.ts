import { expect, test } from "vitest";
import { learnPool } from "../../src/learning/learn-pool.ts";
import { poolNumbers } from "../../src/learning/pool-numbers.ts";
import { poolOf } from "../history/synthetic.ts";

const pool = poolOf(4);

test("every number stands once, with the value that the pool has", () => {
  const numbers = poolNumbers(pool);
  expect(new Set(numbers.map(({ key }) => key)).size).toBe(numbers.length);
  for (const number of numbers) {
    const changed = number.set(pool, number.value * 0.5);
    const again = poolNumbers(changed).find(({ key }) => key === number.key)!;
    expect(again.value).toBeCloseTo(number.value * 0.5, 12);
  }
});

test("a class's number is changed in its links, its connectors and every path", () => {
  const plate = poolNumbers(pool).find(({ key }) => key.endsWith("contaminated"))!;
  const changed = plate.set(pool, 0.4);
  const seen = changed.circuits.flatMap(({ path }) =>
    path.map(({ connector }) => connector.priors.contaminated),
  );
  expect(seen.filter((one) => one === 0.4)).toHaveLength(4);
  expect(changed.connectors.filter(({ priors }) => priors.contaminated === 0.4)).toHaveLength(4);
});

/** k of n cases seen, five walks' worth of p0: the beta posterior's mode in log odds. */
test("a probability that walks count is the mean of what they counted and of five walks", () => {
  const misread = poolNumbers(pool).find(({ key }) => key === "model.misread")!;
  const [counted, cases] = [60, 800];
  const found = learnPool(pool, 20, (changed) => {
    const p = changed.model.misread;
    return counted * Math.log(p) + (cases - counted) * Math.log(1 - p);
  });
  const worth = 5 * misread.casesPerWalk;
  const expected = (counted + worth * misread.value) / (cases + worth);
  const learnt = found.numbers.find(({ key }) => key === "model.misread")!;
  expect(learnt.proposed / expected).toBeCloseTo(1, 2);
  // Curvature in log odds: (n + worth) p (1 - p).
  const reach = 1.645 / Math.sqrt((cases + worth) * expected * (1 - expected));
  expect(
    Math.log(learnt.high / (1 - learnt.high)) - Math.log(learnt.proposed / (1 - learnt.proposed)),
  ).toBeCloseTo(reach, 1);
  expect(found.gain).toBeGreaterThan(0);
});

test("what no walk speaks of stays as it is", () => {
  const found = learnPool(pool, 5, () => 0);
  for (const { now, proposed } of found.numbers) expect(proposed / now).toBeCloseTo(1, 2);
});

test("four walks teach nothing", () => {
  expect(() => learnPool(pool, 4, () => 0)).toThrow("from 5 on");
});
