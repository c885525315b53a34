import { assumedAgeing } from "../domain/assumed-ageing.ts";
import { type Circuit, type Connector, priorSound, type Sharing } from "../domain/circuit.ts";
import type { ConnectorFinding } from "../domain/findings.ts";
import { type CircuitName, circuitName, type Place, samePlace } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { type CleaningRecord, filmShare } from "../history/cleaning-record.ts";

/** One connector that may need a repair at the meet. */
export interface PossibleRepair extends Place {
  readonly connector: string;
  readonly sharing: Sharing;
  /** P(at fault): from the walk where it was read, else from the pool file's prior. */
  readonly atFault: number;
  readonly from: "walk" | "prior";
  /** P(cleaning is enough | at fault), from the record of cleanings. */
  readonly cures: number;
}

/** P(no touchpad plug or pad repair helps but a new plug): half of pad troubles, a judgement. */
export const plugShare = 0.5;

/** Every connector of the pool, with what the walks and the record say about it. */
export function possibleRepairs(
  pool: Pool,
  found: readonly ConnectorFinding[],
  record: CleaningRecord | null,
): PossibleRepair[] {
  return pool.connectors.map((connector): PossibleRepair => {
    const own = found.find((one) => samePlace(one, connector.place));
    return {
      ...connector.place,
      connector: connector.name,
      sharing: connector.sharing,
      atFault: own?.atFault ?? priorAtFault(pool, connector, connector.circuits.length),
      from: own === undefined ? "prior" : "walk",
      cures: cures(record, connector.place),
    };
  });
}

/** P(at least one of n contacts of a connector is faulty) before any reading. */
export function priorAtFault(pool: Pool, { priors }: Connector, circuits: number): number {
  const { contaminated, fouled, fouledIfContaminated } = priors;
  const allSound = (p: number): number =>
    priorSound(priors, pool.model.openPerFouled, p) ** circuits;
  return 1 - (1 - contaminated) * allSound(fouled) - contaminated * allSound(fouledIfContaminated);
}

/** P(a path that nobody read is at fault), contacts taken as independent. */
export const unreadAtFault = (pool: Pool, { path }: Circuit): number =>
  1 - path.reduce((good, { connector }) => good * (1 - priorAtFault(pool, connector, 1)), 1);

/** P(cleaning is enough | at fault): the connector's own record, else its class's, else as assumed. */
export function cures(record: CleaningRecord | null, place: Place): number {
  const own = record?.connectors.find((one) => samePlace(one, place));
  const film = own ?? record?.classes.find(({ point }) => point === place.point);
  return film === undefined ? assumedAgeing.film.value : filmShare(film);
}

/** Every switch of the pool: of stacked devices each has its own, on one circuit. */
export const switchesOf = ({ circuits }: Pool): CircuitName[] =>
  circuits.flatMap((circuit) =>
    circuit.devices.map((device) => ({ ...circuitName(circuit), device })),
  );
