import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { circuitCells } from "../../src/domain/place.ts";
import { tenLanes, tenLanesYaml } from "./ten-lanes.ts";

/** The ten-lane facility's folder: two walks of every last point, a few plates, and the work between. */
export function tenLanesFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "dropwise-ten-lanes-"));
  // Which circuits there are does not depend on the model: the first is the quick one.
  writeFileSync(join(folder, "pool.yaml"), `model: plain\n${tenLanesYaml}`);
  writeFileSync(join(folder, "readings.csv"), readings());
  writeFileSync(
    join(folder, "work.csv"),
    "done_at,lane,device,end,point,action\n2026-05-03,none,start,,start plug,cleaned\n" +
      "2026-05-03,5,platform,,plug,replaced\n2026-05-04,0,,,harness,cleaned\n",
  );
  return folder;
}

/**
 * Ohm's law on 5.00 V and a meter of 1000 ohm: copper as the pool file has it and sound contacts of
 * 0.2 ohm; lane 6's deck plate at 60 ohm and then 80, the start's plug at 90.
 */
function readings(): string {
  const rows = ["taken_at,lane,device,end,point,volts"];
  for (const [walk, day] of ["2026-05-02", "2026-05-09"].entries()) {
    for (const circuit of tenLanes().circuits) {
      const { lane, device, end } = circuitCells(circuit);
      let ohms = 0;
      for (const [k, { point, wireOhms }] of circuit.path.entries()) {
        ohms += wireOhms + 0.2;
        const isBad = lane === "6" && device === "touchpad" && end === "start";
        if (isBad && point === "plate") ohms += 60 + 20 * walk;
        if (point === "start plug") ohms += 90;
        const isRead = k === circuit.path.length - 1 || point === "plate" || lane === "none";
        const volts = (5000 / (1000 + ohms)).toFixed(2);
        if (isRead) rows.push([day, lane, device, end, point, volts].join(","));
      }
    }
  }
  return `${rows.join("\n")}\n`;
}
