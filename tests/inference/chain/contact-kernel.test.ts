import { describe, expect, test } from "vitest";
import {
  blockShelf,
  contactKernel,
  pullBack,
  pushForward,
} from "../../../src/inference/chain/contact-kernel.ts";
import { buildMesh, panelTree } from "../../../src/inference/chain/mesh.ts";

/** Source of every number here: the operator's definition, integrated by the trapezoidal rule. */

const law = [
  { share: 0.6, medianOhms: 60, logSd: 1.2 },
  { share: 0.4, medianOhms: 10_000, logSd: 3 },
];
const mesh = buildMesh(panelTree(1000), [{ low: 0.05, high: 0.06, width: 0.004 }]);
const kernel = contactKernel(mesh, blockShelf(law));

/** The integral of p(r) g(t + r), over ln r from -6 to 6 standard deviations of each part. */
const byTrapezoids = (g: (t: number) => number, t: number): number =>
  law.reduce((sum, { share, medianOhms, logSd }) => {
    const steps = 40_000;
    let part = 0;
    for (let i = 0; i <= steps; i++) {
      const z = -6 + (12 * i) / steps;
      const weight = i === 0 || i === steps ? 0.5 : 1;
      const density = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
      part += weight * density * g(t + medianOhms * Math.exp(logSd * z)) * (12 / steps);
    }
    return sum + share * part;
  }, 0);

describe("a contact as an operator", () => {
  test.each([
    ["one", () => 1],
    ["a divider of 1,000 ohm", (t: number) => 1000 / (1000 + t)],
    [
      "a likelihood around 56 ohm",
      (t: number) => Math.exp(-0.5 * ((t / (1000 + t) - 0.053) / 0.004) ** 2),
    ],
  ])("carries %s back as its definition does", (_, g) => {
    const values = mesh.t.map(g);
    const back = new Float64Array(mesh.t.length);
    pullBack(kernel, values, 0, back, 0);
    for (const m of [0, 11, 24, 40]) {
      expect(back[m]).toBeCloseTo(byTrapezoids(g, mesh.t[m]!), 3);
    }
    const origin = kernel.origin.reduce((sum, weight, m) => sum + weight * values[m]!, 0);
    expect(origin).toBeCloseTo(byTrapezoids(g, 0), 3);
  });

  test("forward is the transpose of back: <a, K g> = <K' a, g>", () => {
    const g = mesh.t.map((t) => 1 / (1 + t));
    const a = mesh.t.map((_, m) => ((m * 7) % 5) / 10);
    const [back, forward] = [new Float64Array(g.length), new Float64Array(g.length)];
    pullBack(kernel, g, 0, back, 0);
    pushForward(kernel, a, 0, forward, 0);
    const dot = (x: Float64Array, y: Float64Array): number =>
      x.reduce((sum, value, m) => sum + value * y[m]!, 0);
    expect(dot(forward, g)).toBeCloseTo(dot(a, back), 10);
  });
});
