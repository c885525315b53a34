import type {
  CircuitFinding,
  ContactFinding,
  Explanation,
  MeterSight,
  TakeAgain,
  WalkDiagnosis,
} from "../domain/findings.ts";
import { UNIT_LOAD } from "../domain/pool.ts";
import type { ChainPool, PartReading } from "./chain-pool.ts";
import type { CircuitModel } from "./circuit-model.ts";
import { circuitPosterior } from "./circuit-posterior.ts";
import { resistanceEstimate } from "./contact-resistance.ts";
import { deviceFaults } from "./device-faults.ts";
import type { EmfPosterior } from "./emf-node.ts";
import type { CircuitView } from "./evidence.ts";
import { notRuledOut } from "./explanations.ts";
import { behindLast, probabilityBeyond } from "./last-point.ts";
import { rankConnectors } from "./ranking.ts";
import { circuitNodes, solve } from "./solve.ts";
import { swappedPoints } from "./swapped.ts";
import { type DoubtedReading, doubtOf, takeAgainAt } from "./take-again.ts";
import type { LaneModel, WalkEvidence } from "./walk-evidence.ts";
import { walkExplanations } from "./walk-explanations.ts";
import { type ReadCircuit, type ReadWalk, readWalk } from "./walk-model.ts";

/**
 * What one walk's readings say about every contact of the circuits that were read: the exact
 * posterior of the signal-path model.
 *
 *     1 sort the readings into circuits                                   walk-model
 *     2 find where the EMF's posterior may lie, and lay meshes for it     emf-pilot, mesh
 *     3 integrate over the EMF, body states summed out at each node       emf-posterior, walk-evidence
 *     4 walk forward along each circuit: states, resistances, doubts      circuit-posterior
 *     5 weigh what else could explain the readings                        walk-explanations, swapped,
 *                                                                         device-faults
 *     6 rank the connectors                                               ranking
 *
 * Meshes and kernels are kept for the next walk of the same pool object. A walk without resting
 * readings has nothing to say: log-evidence 0, no contacts. With `rivals` false, the explanations that
 * take integrals of their own are left out: nothing but their printing needs them.
 */
export function diagnoseChain(
  pool: ChainPool,
  readings: readonly PartReading[],
  meters: readonly MeterSight[] = [],
  rivals = true,
): WalkDiagnosis {
  const walk = readWalk(pool, readings);
  const { lanes, emf } = solve(walk);
  const soundGiven = emf.nodes.map((): Float64Array[][][] => walk.lanes.map(() => []));
  const views: CircuitView[] = [];
  const takeAgain: TakeAgain[] = [];
  const circuits: CircuitFinding[] = [];
  const doubted: DoubtedReading[] = [];
  const explanations: Explanation[] = [];
  for (const [l, lane] of walk.lanes.entries()) {
    for (const [c, circuit] of lane.circuits.entries()) {
      const said = circuitFindings(walk, lanes, emf, circuit, l, c);
      if (rivals) explanations.push(...circuitExplanations(walk, lanes, emf, said, l, c));
      views.push(said.view);
      doubted.push(...said.doubted);
      takeAgain.push(...takeAgainAt(circuit.lane, circuit.device, said.doubted));
      circuits.push(said.circuit);
      for (const [n, links] of said.soundGiven.entries()) soundGiven[n]![l]!.push([...links]);
    }
  }
  const nodes = emf.nodes.map((node, n) => ({ ...node, soundGiven: soundGiven[n]! }));
  const loadKnown = pool.meters.every(({ loadOhms }) => loadOhms !== null);
  const unit = loadKnown ? 1 : UNIT_LOAD;
  const contacts = views.flatMap((view) => view.contacts);
  explanations.push(...walkExplanations(pool, readings, emf, doubted, meters, contacts, rivals));
  const connectors = views.length > 0 ? rankConnectors(walk, nodes, views) : [];
  return {
    walk: readings[0]?.walk ?? "",
    logEvidence: emf.logEvidence,
    emf: emf.estimate,
    resistanceUnit: loadKnown ? "ohm" : "meter load",
    connectors: connectors.map((row) => ({ ...row, worst: inUnits(row.worst, unit) })),
    contacts: contacts.map((contact) => inUnits(contact, unit)),
    circuits,
    explanations: notRuledOut(explanations),
    takeAgain,
    meters,
  };
}

/** A contact's resistance as a multiple of `unit` ohms. */
function inUnits(contact: ContactFinding, unit: number): ContactFinding {
  const { low, median, high } = contact.ohms;
  return { ...contact, ohms: { median: median / unit, low: low / unit, high: high / unit } };
}

/** Step 4 for one circuit. */
function circuitFindings(
  walk: ReadWalk,
  lanes: readonly LaneModel[],
  emf: EmfPosterior<WalkEvidence>,
  circuit: ReadCircuit,
  l: number,
  c: number,
) {
  const { pool } = walk;
  const model = lanes[l]!.circuits[c]!;
  const nodes = circuitNodes(emf, l, c);
  const contacts: Omit<ContactFinding, "voltsLost">[] = [];
  const pathBefore: Float64Array[] = [];
  const { lane, device } = circuit;
  const soundGiven = circuitPosterior(model, nodes, (i, posterior) => {
    const { states, before } = posterior;
    const ohms = resistanceEstimate(pool, model.mesh, posterior, before);
    contacts.push({ lane, device, end: null, point: pool.chain[i]!.point, ...states, ohms });
    pathBefore.push(before);
    if (i + 1 === pool.chain.length) pathBefore.push(behindLast(model, posterior));
  });
  const volts = emf.estimate.median;
  const shown = pathBefore.map((path) => volts * expectedShare(pool, model, path));
  const doubted = circuit.readings.flatMap((readings, i) =>
    readings.map((weighed) => ({
      weighed,
      doubt: doubtOf(weighed, volts, model.mesh.t, pathBefore[i + 1]!),
    })),
  );
  const underLimit = probabilityUnder(pool, model, volts, pathBefore.at(-1)!);
  const view: CircuitView = {
    lane,
    device,
    readings: circuit.readings,
    contacts: contacts.map((contact, i) => ({ ...contact, voltsLost: shown[i]! - shown[i + 1]! })),
    emf: volts,
  };
  return { view, circuit: { lane, device, end: null, underLimit }, doubted, soundGiven };
}

/**
 * Step 5 for one circuit. The device is asked about only where the path alone leaves something to
 * explain: a contact more likely faulty than sound, or a reading more likely wrong than right.
 */
function circuitExplanations(
  walk: ReadWalk,
  lanes: readonly LaneModel[],
  emf: EmfPosterior<WalkEvidence>,
  { view, doubted }: Pick<ReturnType<typeof circuitFindings>, "view" | "doubted">,
  l: number,
  c: number,
): readonly Explanation[] {
  const circuit = walk.lanes[l]!.circuits[c]!;
  const model = lanes[l]!.circuits[c]!;
  const nodes = circuitNodes(emf, l, c);
  const swaps = swappedPoints(walk.pool, model, circuit, nodes);
  const odd =
    view.contacts.some(({ sound }) => sound < 0.5) || doubted.some(({ doubt }) => doubt >= 0.5);
  return odd
    ? [...swaps, ...deviceFaults({ walk, lanes, emf, l, c, circuit, model, nodes })]
    : swaps;
}

/** The part of the EMF that the first meter is expected to show, wires left out; 0 if open. */
function expectedShare(pool: ChainPool, model: CircuitModel, path: Float64Array): number {
  const load = pool.meters[0]!.loadOhms ?? UNIT_LOAD;
  const loop = load + pool.supply.sourceOhms;
  if (path.length === 1) return load / loop;
  return path.reduce((sum, mass, m) => sum + (mass * load) / (loop + model.mesh.t[m]!), 0);
}

/** P(the first meter's true value at the last point is under the pool's limit). */
function probabilityUnder(
  pool: ChainPool,
  model: CircuitModel,
  emf: number,
  path: Float64Array,
): number {
  const load = pool.meters[0]!.loadOhms ?? UNIT_LOAD;
  const wire = pool.chain.reduce((ohms, { wireOhms }) => ohms + wireOhms, 0);
  const limit = (emf * load) / pool.limitVolts - load - pool.supply.sourceOhms - wire;
  return probabilityBeyond(model.mesh, path, limit);
}
