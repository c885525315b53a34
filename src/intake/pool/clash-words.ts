import type { Connector } from "../../domain/circuit.ts";
import type { Clash } from "../../domain/lay-circuits.ts";
import { isOfDevice, isOfLane, type Lane } from "../../domain/place.ts";
import type { Broken } from "./broken-rule.ts";

const laneWords = (lane: Lane | null): string =>
  isOfLane({ lane }) ? `lane ${lane}` : "the facility";

/** `harness connector of lanes 1, 2, 3`: which of the connectors of that name. */
function connectorWords({ name, place }: Connector): string {
  const { lanes } = place;
  if (isOfDevice(place)) return `${name} of ${laneWords(place.lane)} ${place.device}`;
  return lanes.length === 0
    ? name
    : `${name} of lane${lanes.length > 1 ? "s" : ""} ${lanes.join(", ")}`;
}

/** Why rules make no facility: the place in the file, and one sentence. */
export function clashWords(clash: Clash): Broken {
  switch (clash.kind) {
    case "twice":
      return {
        place: `devices[${clash.device}]`,
        message: `${laneWords(clash.lane)} has this device at this end already; allowed: once`,
      };
    case "not-stacked":
      return {
        place: `devices[${clash.device}].stacked_on`,
        message: `${laneWords(clash.lane)} has no such device before this one in the list`,
      };
    case "no-supply":
      return {
        place: `devices[${clash.device}]`,
        message: `no supply feeds ${laneWords(clash.lane)}; name it in supplies, or as this device's supply`,
      };
    case "no-path":
      return {
        place: `devices[${clash.device}]`,
        message: `no link of the chain is for it in ${laneWords(clash.lane)}; it needs at least one`,
      };
    case "no-circuit":
      return {
        place: `chain[${clash.link}]`,
        message: "no circuit passes this link; mend shared_by, only or except, or leave it out",
      };
    case "point-twice":
      return {
        place: `chain[${clash.link}].point`,
        message: `'${clash.point}' occurs twice on the way of one circuit; each only once`,
      };
    case "two-supplies":
      return {
        place: `chain[${clash.link}].shared_by`,
        message: `one connector would hold circuits of the supplies ${clash.supplies.join(" and ")}`,
      };
    case "not-nested":
      return {
        place: "chain",
        message:
          `the ${connectorWords(clash.first)} and the ${connectorWords(clash.second)} share some ` +
          "circuits but not all of either's; allowed: one holds all of the other's, or they share none",
      };
  }
}
