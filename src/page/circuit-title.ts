import { type CircuitName, isOfLane } from "../domain/place.ts";
import { deviceCell, sentence } from "../report/names.ts";

/** `Lane 3 · touchpad`, `Lane 3 · touchpad (turn end)`; `Start` for a circuit of no lane. */
export const circuitTitle = (circuit: CircuitName, between = " · "): string =>
  isOfLane(circuit)
    ? `Lane ${circuit.lane}${between}${deviceCell(circuit)}`
    : sentence(deviceCell(circuit));
