import { expect, test } from "vitest";
import { shelfOf } from "../../src/diagnosis/pool-shelf.ts";
import { stateChances } from "../../src/diagnosis/state-chances.ts";
import { poseWalk } from "../../src/diagnosis/walk-problem.ts";
import { infer } from "../../src/inference/infer.ts";
import type { WalkProblem } from "../../src/inference/problem.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";

// The law of total probability, against the sum over configurations that shared connectors have.

const file = `
pool: one device a lane
lanes: 2
devices: [touchpad]
meters: [{ name: deck, load_ohms: 1000 }]
supply: { source_ohms: 1 }
`;
const sheet = `lane,device,point,volts
1,touchpad,plate,4.97
1,touchpad,pod,4.62
2,touchpad,plate,4.71
2,touchpad,pod,4.70
`;

test("a connector of one circuit has no body of its own, and the answers of one that has", () => {
  const pool = readPool(file, "pool.yaml");
  if (!pool.ok) throw new Error("the pool file is wrong");
  const { readings } = readReadings(sheet, pool.value, "readings.csv");
  const { problem, circuits, bodies } = poseWalk(pool.value, readings);
  expect(bodies.map(({ name }) => name)).toEqual(["timer outlet"]);

  const own = pool.value.connectors.filter(({ sharing }) => sharing !== "device");
  const withAll: WalkProblem = {
    ...problem,
    bodies: own.map(({ priors: { contaminated } }) => ({ contaminated })),
    circuits: problem.circuits.map((circuit, c) => ({
      ...circuit,
      links: circuit.links.map((link, k) => {
        const { connector } = circuits[c]!.path[k]!;
        const body = own.indexOf(connector);
        if (body < 0) return link;
        const states = stateChances(connector.priors, pool.value.model.openPerFouled);
        return { ...link, body, states };
      }),
    })),
  };
  expect(withAll.bodies).toHaveLength(5);

  const [alone, all] = [problem, withAll].map((one) => infer(one, shelfOf(pool.value)));
  expect(alone!.logEvidence).toBeCloseTo(all!.logEvidence, 6);
  for (const [c, { states, underLimit }] of all!.circuits.entries()) {
    expect(alone!.circuits[c]!.underLimit).toBeCloseTo(underLimit!, 6);
    for (const [k, chances] of states.entries()) {
      const found = alone!.circuits[c]!.states[k]!;
      for (const [s, chance] of chances.entries()) expect(found[s]).toBeCloseTo(chance, 6);
    }
  }
});
