import { type CircuitName, isOfLane } from "../domain/place.ts";
import { deviceCell, laneText } from "../report/names.ts";
import { sentence } from "../words/figure-words.ts";

/** `Lane 3 · touchpad`, `Lane 3 · touchpad (turn end)`; `Start` for a circuit of no lane. */
export const circuitTitle = (circuit: CircuitName, between = " · "): string =>
  isOfLane(circuit)
    ? `${sentence(laneText(circuit.lane))}${between}${deviceCell(circuit)}`
    : sentence(deviceCell(circuit));
