import type { ConnectorFinding } from "../domain/findings.ts";
import type { ChainLink, Circuit, Lane, Pool } from "../domain/pool.ts";
import type { CleaningRecord } from "../history/cleaning-record.ts";

/** One connector that may need a repair at the meet. */
export interface PossibleRepair {
  readonly connector: string;
  readonly point: string;
  readonly lane: Lane | null;
  readonly device: string | null;
  readonly sharedBy: ChainLink["sharedBy"];
  /** P(at fault): from the walk where it was read, else from the pool file's prior. */
  readonly atFault: number;
  readonly from: "walk" | "prior";
  /** P(cleaning is enough | at fault), from the record of cleanings. */
  readonly cures: number;
}

/** P(cleaning is enough) of a connector whose class has no record: an engineering judgement. */
const curesWithoutRecord = 0.7;

/** P(no touchpad plug or pad repair helps but a new plug): half of pad troubles, a judgement. */
export const plugShare = 0.5;

/** Every connector of the pool, with what the walks and the record say about it. */
export function possibleRepairs(
  pool: Pool,
  found: readonly ConnectorFinding[],
  record: CleaningRecord | null,
): PossibleRepair[] {
  return pool.chain.flatMap((link) =>
    bodies(pool, link).map(({ lane, device, circuits }): PossibleRepair => {
      const own = found.find(
        (c) => c.point === link.point && c.lane === lane && c.device === device,
      );
      return {
        connector: link.connector,
        point: link.point,
        lane,
        device,
        sharedBy: link.sharedBy,
        atFault: own?.atFault ?? priorAtFault(link, circuits),
        from: own === undefined ? "prior" : "walk",
        cures: cures(record, link.point, lane, device),
      };
    }),
  );
}

/** P(at least one of n contacts is fouled or open) before any reading; open is a tenth of fouled. */
export function priorAtFault(link: ChainLink, circuits: number): number {
  const allSound = (fouled: number): number => (1 - 1.1 * fouled) ** circuits;
  return (
    1 -
    (1 - link.contaminated) * allSound(link.fouled) -
    link.contaminated * allSound(link.fouledIfContaminated)
  );
}

/** P(a path that nobody read is at fault), contacts taken as independent. */
export const unreadAtFault = (pool: Pool): number =>
  1 - pool.chain.reduce((good, link) => good * (1 - priorAtFault(link, 1)), 1);

/** P(cleaning is enough | at fault): the connector's own record, else its class's. */
export function cures(
  record: CleaningRecord | null,
  point: string,
  lane: Lane | null,
  device: string | null,
): number {
  const own = record?.connectors.find(
    (c) => c.point === point && c.lane === lane && c.device === device,
  );
  const film = own ?? record?.classes.find((c) => c.point === point);
  return film === undefined ? curesWithoutRecord : film.alpha / (film.alpha + film.beta);
}

function bodies(
  { lanes, devices }: Pool,
  link: ChainLink,
): { lane: Lane | null; device: string | null; circuits: number }[] {
  if (link.sharedBy === "pool")
    return [{ lane: null, device: null, circuits: lanes.length * devices.length }];
  if (link.sharedBy === "lane")
    return lanes.map((lane) => ({ lane, device: null, circuits: devices.length }));
  return lanes.flatMap((lane) => devices.map((device) => ({ lane, device, circuits: 1 })));
}

/** Every circuit of the pool, lane by lane. */
export const circuitsOf = ({ lanes, devices }: Pool): Circuit[] =>
  lanes.flatMap((lane) => devices.map((device) => ({ lane, device })));
