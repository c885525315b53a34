import { type CircuitName, isOfLane } from "../domain/place.ts";
import { deviceCell } from "../report/names.ts";
import { sentence } from "../words/figure-words.ts";
import { inLine } from "../words/place-words.ts";

/** `Lane 3 · touchpad`, `Lane 3 · touchpad (turn end)`; `Start` for a circuit of no lane. */
export const circuitTitle = (circuit: CircuitName, between = " · "): string =>
  isOfLane(circuit)
    ? `Lane ${inLine(circuit.lane)}${between}${deviceCell(circuit)}`
    : sentence(deviceCell(circuit));
