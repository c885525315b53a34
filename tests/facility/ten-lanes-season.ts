import { readingVolts } from "../../src/circuit/divider.ts";
import { dayText } from "../../src/domain/calendar.ts";
import { sourceOr0 } from "../../src/domain/circuit.ts";
import { circuitCells, placeCells } from "../../src/domain/place.ts";
import { ohms, volts } from "../../src/domain/units.ts";
import { tenLanes } from "./ten-lanes.ts";

/** 2026-04-06, a Monday. */
const FIRST_DAY = 20_549;
const WEEKS = 5;

/** Faults by connector and, where only one circuit's contact is meant, lane: ohms in week 0 and 4. */
const faulty = new Map<string, readonly [number, number]>([
  ["deck plate 7", [5, 75]],
  ["start plug", [0.3, 90]],
  ["button-1 plug 4", [60, 62]],
]);

/**
 * Five weekly walks of the ten-lane facility: volts by equation (1), rounded to the display, every
 * sound contact 0.2 ohm. The deck plate of lane 7, the start's plug and the plug under lane 4's
 * platform are fouled. Lane 7's plate was cleaned after week 1.
 */
export function tenLanesSeason(): { readonly readings: string; readonly work: string } {
  const pool = tenLanes();
  const rows = ["taken_at,lane,device,end,point,volts"];
  for (let week = 0; week < WEEKS; week++) {
    for (const circuit of pool.circuits) {
      const { lane, device, end } = circuitCells(circuit);
      let series = 0;
      for (const { point, wireOhms, connector } of circuit.path) {
        const fault = faulty.get(`${connector.name} ${lane}`) ?? faulty.get(connector.name);
        const [from, to] = fault ?? [0.2, 0.2];
        series += wireOhms + from + ((to - from) * week) / (WEEKS - 1);
        const shown = readingVolts(
          volts(4.99),
          ohms(1000),
          sourceOr0(circuit.supply),
          ohms(series),
        );
        const day = `${dayText(FIRST_DAY + 7 * week)}T10:00`;
        rows.push([day, lane, device, end, point, shown.toFixed(2)].join(","));
      }
    }
  }
  const plate = pool.connectors.find(
    ({ name, place }) => name === "deck plate" && place.lane === 7,
  )!;
  const at = placeCells(plate.place);
  const work = [
    "done_at,lane,device,end,point,action",
    [dayText(FIRST_DAY + 9), at.lane, at.device, at.end, at.point, "cleaned"].join(","),
  ];
  return { readings: `${rows.join("\n")}\n`, work: `${work.join("\n")}\n` };
}
