import type { Lane } from "../../src/domain/place.ts";
import type { Link } from "../../src/domain/pool.ts";
import type { PlainCircuit as Circuit } from "../plain-pool.ts";
import type { SimulatedWalk } from "./simulate.ts";

/** One connector, named alike by the truth, by the diagnosis and by the rules of thumb. */
export const connectorName = (
  link: Pick<Link, "point" | "sharedBy">,
  { lane, device }: Circuit,
): string =>
  ownerName(
    link.point,
    link.sharedBy === "pool" ? null : lane,
    link.sharedBy === "device" ? device : null,
  );

export const ownerName = (point: string, lane: Lane | null, device: string | null): string =>
  [point, lane, device].filter((part) => part !== null).join(" ");

/** Connectors with a faulty contact among the circuits that were read. */
export const trulyAtFault = ({ readings, contacts }: SimulatedWalk): Set<string> => {
  const read = new Set(readings.map(({ lane, device }) => `${lane} ${device}`));
  return new Set(
    contacts
      .filter(({ state, lane, device }) => state !== "sound" && read.has(`${lane} ${device}`))
      .map((contact) => connectorName(contact.link, contact)),
  );
};
