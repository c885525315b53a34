import type { Connector } from "../domain/circuit.ts";
import type { ConnectorFinding, ContactFinding, Failing } from "../domain/findings.ts";
import { type CircuitName, isOfLane, type Place } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { type CircuitView, evidenceFor } from "./evidence.ts";
import { inseparable } from "./inseparable.ts";

/** A contact suffers, and a connector is a suspect, where a fault is likelier than not. */
const SUSPECT = 0.5;
/** A way to fail that is less likely is not named. */
const NAMED = 0.05;

/**
 * All connectors that a read circuit passes: suspects by the volts that they are expected to take
 * from their worst circuit, the rest by P(at least one faulty contact among the circuits read).
 *
 * @param bodyAtFault That probability, of a connector that several circuits may share.
 */
export function rankConnectors(
  pool: Pool,
  views: readonly CircuitView[],
  bodyAtFault: (connector: Connector) => number | undefined,
): readonly ConnectorFinding[] {
  const found = pool.connectors.flatMap((connector): ConnectorFinding[] => {
    const own = views.filter(({ circuit }) => connector.circuits.includes(circuit.index));
    return own.length === 0 ? [] : [finding(pool, connector, own, bodyAtFault(connector))];
  });
  const rank = ({ atFault, voltsLost }: ConnectorFinding): number =>
    atFault >= SUSPECT ? 1 + Math.max(0, voltsLost) : atFault;
  return found.sort((a, b) => rank(b) - rank(a));
}

/** P(the connector's own contact is faulty): a broken cable is not its fault. */
const contactAtFault = ({ fouled, open, cable, intermittent }: ContactFinding): number =>
  Math.min(1, Math.max(0, fouled + open - cable + intermittent));

function finding(
  pool: Pool,
  connector: Connector,
  views: readonly CircuitView[],
  bodyAtFault: number | undefined,
): ConnectorFinding {
  const seen = views.map((view) => {
    const link = view.circuit.path.findIndex((step) => step.connector === connector);
    return { view, link, contact: view.contacts[link]! };
  });
  const worst = seen.reduce((a, b) => (b.contact.voltsLost > a.contact.voltsLost ? b : a));
  const suffering = seen.filter(({ contact }) => contactAtFault(contact) >= SUSPECT);
  return {
    connector: connector.name,
    ...connector.place,
    atFault: bodyAtFault ?? contactAtFault(worst.contact),
    voltsLost: worst.contact.voltsLost,
    circuits: suffering.map(({ view }) => nameAt(connector.place, view.circuit)),
    worst: worst.contact,
    fails: waysToFail(worst.contact),
    evidence: evidenceFor(pool, worst.view, worst.link),
    ...inseparable(worst.view, worst.link),
  };
}

function waysToFail({ fouled, open, cable, intermittent }: ContactFinding) {
  const ways: readonly { how: Failing; probability: number }[] = [
    { how: "fouled", probability: fouled },
    { how: "open", probability: open - cable },
    { how: "comes-and-goes", probability: intermittent },
    { how: "cable", probability: cable },
  ];
  return ways
    .filter(({ probability }) => probability >= NAMED)
    .sort((a, b) => b.probability - a.probability);
}

/** A circuit by its device, with its lane in front where the connector is no one lane's. */
const nameAt = (place: Place, circuit: CircuitName): string =>
  isOfLane(place) || !isOfLane(circuit) ? circuit.device : `lane ${circuit.lane} ${circuit.device}`;
