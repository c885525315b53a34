import { Simulation } from "eecircuit-engine";
import fc from "fast-check";
import { expect, test } from "vitest";
import { ladderVolts } from "../../src/circuit/ladder.ts";
import { anyLadder, type MeteredLadder } from "./any-ladder.ts";

/**
 * The ladder against ngspice 45 (compiled to WebAssembly, npm eecircuit-engine). Its result file
 * is binary, so nothing is lost in print; resistors under 1 mΩ would be replaced by ngspice, and
 * the drawn ones begin at 10 mΩ.
 */
const options = ".options reltol=1e-12 abstol=1e-18 vntol=1e-15 gmin=1e-18";

function netlist({ path, position, loadOhms }: MeteredLadder, id: number): string[] {
  const lines = [`v${id} e${id} 0 ${path.emf}`, `rs${id} e${id} n${id}_0 ${path.sourceOhms}`];
  for (const [step, series] of path.seriesOhms.entries()) {
    const node = `n${id}_${step + 1}`;
    lines.push(`rw${id}_${step} n${id}_${step} ${node} ${series}`);
    const shunt = path.shuntOhms[step]!;
    if (Number.isFinite(shunt)) lines.push(`rd${id}_${step} ${node} 0 ${shunt}`);
  }
  return [...lines, `rm${id} n${id}_${position} 0 ${loadOhms}`];
}

async function simulate(simulation: Simulation, drawn: readonly MeteredLadder[]) {
  simulation.setNetList(
    ["many ladders", options, ...drawn.flatMap(netlist), ".op", ".end"].join("\n"),
  );
  const result = await simulation.runSim();
  if (result.dataType !== "real") throw new Error("an operating point is real");
  const nodes = new Map(result.data.map(({ name, values }) => [name, values[0]]));
  return drawn.map(({ position }, id) => nodes.get(`v(n${id}_${position})`));
}

test("six hundred random ladders read as ngspice says, to a millionth", {
  timeout: 60_000,
}, async () => {
  const simulation = new Simulation();
  await simulation.start();
  let compared = 0;
  await fc.assert(
    fc.asyncProperty(fc.array(anyLadder, { minLength: 60, maxLength: 60 }), async (drawn) => {
      const simulated = await simulate(simulation, drawn);
      for (const [id, { path, position, loadOhms }] of drawn.entries()) {
        const ratio = ladderVolts(path, position, loadOhms) / simulated[id]!;
        expect(Math.abs(ratio - 1)).toBeLessThan(1e-6);
        compared += 1;
      }
    }),
    { numRuns: 10 },
  );
  expect(compared).toBeGreaterThanOrEqual(600);
});
