import { assumedPriors } from "./assumed.ts";
import type { Connector, Step } from "./circuit.ts";
import type { BareCircuit } from "./lay-circuits.ts";
import { ohms } from "./units.ts";

/** A lower device's plug with the step that it adds to its circuit's path. */
export interface StackedPlug {
  readonly connector: Connector;
  readonly step: Step;
}

/** The point behind the plug of the lowest device, and behind the next ones: plug, plug-2, ... */
export const plugPoint = (below: number): string => (below === 0 ? "plug" : `plug-${below + 1}`);

/**
 * The plugs into which devices are stacked, as connectors: each is one circuit's alone, called after
 * the device whose plug it is, and stands last in the path.
 */
export function stackedPlugs(
  bare: readonly BareCircuit[],
  firstIndex: number,
): readonly StackedPlug[] {
  const found = bare.flatMap((circuit) =>
    circuit.devices.slice(0, -1).map((device, below) => ({ circuit, device, below })),
  );
  return found.map(({ circuit, device, below }, n) => {
    const point = plugPoint(below);
    const { lane, end, index } = circuit;
    const connector: Connector = {
      index: firstIndex + n,
      name: `${device} plug`,
      point,
      class: "stacked plug",
      sharing: "device",
      priors: assumedPriors("stacked plug"),
      wet: false,
      circuits: [index],
      place: {
        ...{ point, lane, device: circuit.device, end },
        lanes: lane === null ? [] : [lane],
        sharing: "device",
      },
    };
    return { connector, step: { point, wireOhms: ohms(0), connector } };
  });
}
