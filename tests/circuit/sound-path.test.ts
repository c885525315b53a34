import { expect, test } from "vitest";
import { soundPath } from "../../src/circuit/sound-path.ts";
import { ohms } from "../../src/domain/units.ts";
import { pool } from "../report/fixture.ts";

const circuit = pool.circuits[0]!;

/** Evenly mixed numbers in (0, 1): a multiplicative congruential generator (Park and Miller, 1988). */
function uniforms(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

/** Normal deviates from uniforms (Box and Muller, 1958). */
function normals(next: () => number): () => number {
  return () => Math.sqrt(-2 * Math.log(next())) * Math.cos(2 * Math.PI * next());
}

test("nine in ten simulated readings of a sound path lie in the interval", () => {
  const emf = { median: 4.99, low: 4.99 - 1.6449 * 0.005, high: 4.99 + 1.6449 * 0.005 };
  const meter = pool.meters[0]!;
  const expected = soundPath(circuit, pool.contact.sound, meter, emf, 0.01);
  const normal = normals(uniforms(20260502));
  const rounds = 20_000;
  const inside = circuit.path.map(() => 0);
  for (let round = 0; round < rounds; round += 1) {
    const supply = 4.99 + 0.005 * normal();
    let series = 0;
    circuit.path.forEach((link, k) => {
      series += link.wireOhms + 0.2 * Math.exp(0.8 * normal());
      // Equation (1) of the path, the meter's noise, and a display that rounds.
      const shown = Math.round(((supply * 1000) / (1000 + series) + 0.02 * normal()) * 100) / 100;
      if (shown >= expected[k]!.low && shown <= expected[k]!.high) inside[k]! += 1;
    });
  }
  // A display of 0.01 V moves the share by up to half a step's worth of the density, 2.5 points.
  for (const count of inside) {
    expect(count / rounds).toBeGreaterThan(0.87);
    expect(count / rounds).toBeLessThan(0.93);
  }
});

test("a meter of 10 megohms sees the supply at every point of a sound path", () => {
  const emf = { median: 5, low: 5, high: 5 };
  const blind = soundPath(
    circuit,
    pool.contact.sound,
    { ...pool.meters[0]!, loadOhms: ohms(1e7) },
    emf,
    0.01,
  );
  for (const one of blind) expect(one.median).toBeCloseTo(5, 4);
  const unknown = soundPath(
    circuit,
    pool.contact.sound,
    { ...pool.meters[0]!, loadOhms: null },
    emf,
    0.01,
  );
  expect(unknown.map((one) => one.median)).toEqual([5, 5, 5, 5]);
});
