import { expect, test } from "vitest";
import { soundPath } from "../../src/circuit/sound-path.ts";
import { ohms, volts } from "../../src/domain/units.ts";
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

test("a path of one contact, worked by hand", () => {
  // A log-normal of median m and log-sd s has the mean m exp(s^2/2) and the variance mean^2 (exp(s^2) - 1)
  // (Johnson, Kotz and Balakrishnan, Continuous Univariate Distributions 1, ch. 14, from memory).
  // Large figures, so that every term counts: 12 Ω of wire, 8 Ω median with log-sd 1, 40 Ω in the timer.
  const [E, load, source, wire, median] = [5, 200, 40, 12, 8];
  const mean = median * Math.exp(0.5);
  const variance = mean ** 2 * (Math.E - 1);
  const link = { ...circuit.path[0]!, point: "pod", wireOhms: ohms(wire) };
  const path = { path: [link, link], supply: { ...circuit.supply, sourceOhms: ohms(source) } };
  const meter = { ...pool.meters[0]!, loadOhms: ohms(load), noise: volts(0.03) };
  const emf = { median: E, low: E - 0.2, high: E + 0.2 };
  const contact = { medianOhms: ohms(median), logSd: 1 };
  const found = soundPath(path, contact, meter, emf, 0.06);
  const own = (0.2 / 1.6448536269514722) ** 2 + 0.03 ** 2 + 0.06 ** 2 / 12;
  for (const contacts of [1, 2]) {
    const whole = load + source + contacts * (wire + mean);
    const slope = (E * load) / whole ** 2;
    const reach = 1.6448536269514722 * Math.sqrt(own + slope ** 2 * contacts * variance);
    const one = found[contacts - 1]!;
    expect(one.median).toBeCloseTo((E * load) / whole, 12);
    expect(one.high - one.median).toBeCloseTo(reach, 12);
    expect(one.median - one.low).toBeCloseTo(reach, 12);
  }
  const unknown = soundPath(path, contact, { ...meter, loadOhms: null }, emf, 0.06)[0]!;
  expect(unknown.high - unknown.low).toBeCloseTo(2 * 1.6448536269514722 * Math.sqrt(own), 12);
});
