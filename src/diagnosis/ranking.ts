import type { ConnectorFinding, ContactFinding } from "../domain/findings.ts";
import type { Lane } from "../domain/place.ts";
import { type CircuitView, evidenceFor } from "./evidence.ts";
import { inseparable } from "./inseparable.ts";
import type { WalkEvidence } from "./walk-evidence.ts";
import type { ReadWalk } from "./walk-model.ts";

/** One EMF node with P(sound | configuration) of every shared link: [lane][circuit][link]. */
export interface RankingNode {
  readonly weight: number;
  readonly evidence: WalkEvidence;
  readonly soundGiven: readonly (readonly (readonly Float64Array[])[])[];
}

/** A contact suffers where a fault is likelier than not. */
const SUFFERS = 0.5;

/**
 * All connectors that a read circuit passes, in order of P(at least one faulty contact among the
 * circuits read). Probabilities that print alike, to a hundredth, are ordered by the volts that the
 * connector is expected to cost its worst circuit.
 */
export function rankConnectors(
  walk: ReadWalk,
  nodes: readonly RankingNode[],
  views: readonly CircuitView[],
): readonly ConnectorFinding[] {
  const found = walk.pool.chain.flatMap((link, i) => {
    if (link.sharedBy === "pool") {
      return [finding(walk, i, null, null, poolAtFault(walk, nodes, i), views)];
    }
    return walk.lanes.flatMap(({ lane, circuits }, l) => {
      const ofLane = views.filter((view) => view.lane === lane);
      if (link.sharedBy === "lane") {
        return [finding(walk, i, lane, null, laneAtFault(nodes, i, l), ofLane)];
      }
      return circuits.map(({ device }) => {
        const own = ofLane.filter((view) => view.device === device);
        return finding(walk, i, lane, device, 1 - own[0]!.contacts[i]!.sound, own);
      });
    });
  });
  return found.sort(
    (a, b) =>
      Math.round(100 * b.atFault) - Math.round(100 * a.atFault) || b.voltsLost - a.voltsLost,
  );
}

/** 1 - P(every contact of the lane in link i is sound). */
function laneAtFault(nodes: readonly RankingNode[], i: number, l: number): number {
  let allSound = 0;
  for (const { weight, evidence, soundGiven } of nodes) {
    for (const [c, posterior] of evidence.bodies[l]!.entries()) {
      allSound += weight * posterior * productOver(soundGiven[l]!, i, c);
    }
  }
  return Math.max(0, 1 - allSound);
}

/** The same over all lanes, which are independent only given the bodies that the pool shares. */
function poolAtFault(walk: ReadWalk, nodes: readonly RankingNode[], i: number): number {
  const { poolBits } = walk.prior;
  let allSound = 0;
  for (const { weight, evidence, soundGiven } of nodes) {
    for (let state = 0; state <= poolBits; state++) {
      if ((state & ~poolBits) !== 0) continue;
      let product = weight * massOf(evidence.bodies[0]!, poolBits, state);
      for (const [l, bodies] of evidence.bodies.entries()) {
        let soundInLane = 0;
        for (const [c, posterior] of bodies.entries()) {
          if ((c & poolBits) === state)
            soundInLane += posterior * productOver(soundGiven[l]!, i, c);
        }
        product *= soundInLane / Math.max(massOf(bodies, poolBits, state), Number.MIN_VALUE);
      }
      allSound += product;
    }
  }
  return Math.max(0, 1 - allSound);
}

const massOf = (bodies: Float64Array, mask: number, state: number): number =>
  bodies.reduce((sum, posterior, c) => ((c & mask) === state ? sum + posterior : sum), 0);

const productOver = (
  circuits: readonly (readonly Float64Array[])[],
  i: number,
  c: number,
): number => circuits.reduce((product, links) => product * links[i]![c]!, 1);

function finding(
  walk: ReadWalk,
  i: number,
  lane: Lane | null,
  device: string | null,
  atFault: number,
  views: readonly CircuitView[],
): ConnectorFinding {
  const { connector, point } = walk.pool.chain[i]!;
  const worst = views.reduce((a, b) =>
    b.contacts[i]!.voltsLost > a.contacts[i]!.voltsLost ? b : a,
  );
  const suffering = views.filter((view) => 1 - view.contacts[i]!.sound >= SUFFERS);
  return {
    connector,
    point,
    lane,
    device,
    end: null,
    lanes: [],
    sharing: "device",
    atFault,
    voltsLost: worst.contacts[i]!.voltsLost,
    circuits: suffering.map((view) => circuitName(lane, view.contacts[i]!)),
    worst: worst.contacts[i]!,
    evidence: evidenceFor(walk.pool, worst, i),
    ...inseparable(walk.pool, worst, i),
  };
}

const circuitName = (lane: Lane | null, contact: ContactFinding): string =>
  lane === null ? `lane ${contact.lane} ${contact.device}` : contact.device;
