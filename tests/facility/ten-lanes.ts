import type { Pool } from "../../src/domain/pool.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";

/**
 * An invented facility with everything that lanes times devices on one chain cannot say: ten lanes 0
 * to 9, a third button on three of them, a start's line, pads at both ends on four lanes, two
 * harnesses of five lanes, deck plates on half, a platform stacked on button-1 in two lanes.
 */
export const tenLanesYaml = `pool: Plover Point
lanes: "0-9"
ends: [start, turn]
devices:
  - touchpad
  - { name: touchpad, end: turn, lanes: [3, 4, 5, 6] }
  - button-1
  - button-2
  - { name: button-3, lanes: [2, 3, 4] }
  - { name: platform, stacked_on: button-1, lanes: [4, 5] }
  - { name: start, lanes: none }
supply: { source_ohms: 0 }
meters:
  - { name: deck, load_ohms: 1000, resolution: 0.01, noise: 0.02, off_after: [90, 120] }
chain:
  - { point: timer, connector: timer outlet, shared_by: pool, wire_ohms: 0.1 }
  - { point: harness, connector: harness connector, shared_by: ["0-4", "5-9"], wire_ohms: 0.6 }
  - { point: plate, connector: wall plate, shared_by: lane, wire_ohms: 2.0, wet: true,
      only: { lanes: "0-4", ends: [start] } }
  - { point: plate, connector: deck plate, shared_by: lane, wire_ohms: 2.0, wet: true,
      only: { lanes: "5-9", ends: [start] } }
  - { point: plate, connector: turn plate, shared_by: lane, wire_ohms: 4.0, wet: true,
      only: { ends: [turn] } }
  - { point: pod, connector: pod terminals, shared_by: device, wire_ohms: 0.3, wet: true,
      except: { devices: [start] } }
  - { point: start plug, connector: start plug, class: pod, shared_by: device, wire_ohms: 0.5,
      only: { devices: [start] } }
limit: { volts: 4.8, meter: deck }
lane_needs: { first: touchpad, fall_back: [button-1, button-2], at_least: 1 }
`;

export function tenLanes(): Pool {
  const read = readPool(tenLanesYaml, "pool.yaml");
  if (!read.ok) throw new Error(read.error.map((one) => `${one.place}: ${one.message}`).join("; "));
  return read.value;
}
