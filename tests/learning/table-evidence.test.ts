import { expect, test } from "vitest";
import { diagnose } from "../../src/diagnosis/diagnose.ts";
import type { Pool } from "../../src/domain/pool.ts";
import {
  fromScale,
  type PoolNumber,
  poolNumbers,
  toScale,
} from "../../src/learning/pool-numbers.ts";
import { tableEvidence } from "../../src/learning/table-evidence.ts";
import { tabledWalk } from "../../src/learning/tabled-walk.ts";
import { drawnPool, drawnWalks, usual } from "./drawn-walks.ts";

const pool = drawnPool();
const walks = drawnWalks(pool, { ...usual, misread: 0.02, noise: 0.015 }, 3, 5);
const tables = walks.map((readings) => tabledWalk(pool, readings)(pool));
const byTables = tableEvidence(tables, pool);

/** Every walk inferred anew, with the explanations that compete with the model: as a person would. */
const exactly = (changed: Pool): number =>
  walks.reduce((sum, readings) => sum + diagnose(changed, readings, false).logEvidence, 0);
const now = exactly(pool);

const moved = (number: PoolNumber, to: Pool, off: number): Pool =>
  number.set(to, fromScale(number, toScale(number, number.value) + off));

/** Of ln of three walks' likelihood, of 24 readings each: a number by itself, and all at once. */
const ALONE = 0.2;
const TOGETHER = 0.36;

test("along each number tables say what inference anew says", () => {
  const off = poolNumbers(pool).flatMap((number) =>
    (number.form === "chance" ? [-1, 1] : [-0.4, 0.4]).map((step) => {
      const changed = moved(number, pool, step);
      return { number: number.key, step, off: byTables(changed) - (exactly(changed) - now) };
    }),
  );
  expect(off.length).toBeGreaterThan(15);
  expect(off.filter((one) => Math.abs(one.off) > ALONE)).toEqual([]);
}, 180_000);

test("the chance of a body that one circuit passes alone moves that circuit", () => {
  const lone = drawnPool(["touchpad"]);
  const [walk] = drawnWalks(
    lone,
    { ...usual, contaminated: { harness: 0.3, plate: 0.3, pod: 0 } },
    1,
    2,
  );
  const told = tableEvidence([tabledWalk(lone, walk!)(lone)], lone);
  const evidenceOf = (of: Pool): number => diagnose(of, walk!, false).logEvidence;
  const bodies = poolNumbers(lone).filter(({ key }) => key.endsWith("contaminated"));
  expect(bodies).toHaveLength(2);
  for (const number of bodies) {
    const changed = moved(number, lone, 1);
    const said = evidenceOf(changed) - evidenceOf(lone);
    expect(Math.abs(said)).toBeGreaterThan(0.1);
    expect(told(changed)).toBeCloseTo(said, 1);
  }
});

test("so they do along all numbers at once, half as far", () => {
  const changed = poolNumbers(pool).reduce(
    (to, number) => moved(number, to, number.form === "chance" ? 0.4 : 0.2),
    pool,
  );
  expect(Math.abs(byTables(changed) - (exactly(changed) - now))).toBeLessThan(TOGETHER);
});

test("a table laid by a changed pool says what is said from there", () => {
  const changed = poolNumbers(pool).reduce((to, number) => moved(number, to, 0.3), pool);
  const from = walks.map((readings) => {
    const lay = tabledWalk(pool, readings);
    lay(pool);
    return lay(changed);
  });
  const back = tableEvidence(from, changed)(pool);
  expect(Math.abs(back - (now - exactly(changed)))).toBeLessThan(TOGETHER);
});

test("far beyond what was tried nothing moves", () => {
  const pod = poolNumbers(pool).find(({ key }) => key === "class pod: fouled")!;
  const [near, far, farther] = [1.5, 1.7, 1.8].map((off) => byTables(moved(pod, pool, off)));
  expect(farther).toBe(far);
  expect(far).not.toBe(near);
});
