import type { ShownPath } from "../hand-rules.ts";
import { circuitName, connectorAt, type Layout, pathOf } from "./layout.ts";
import type { Taken } from "./readings.ts";

/** A drawn sheet as the rules of thumb read it: the first value at rest of each point. */
export function pathsShown(layout: Layout, taken: readonly Taken[]): ShownPath[] {
  return layout.circuits.map((circuit) =>
    pathOf(layout, circuit).flatMap((link) => {
      const row = taken.find(
        (one) =>
          circuitName(one.circuit) === circuitName(circuit) &&
          one.point === link.point &&
          one.state === "rest",
      );
      if (row === undefined || row.shown === null) return [];
      return [{ connector: connectorAt(layout, link, circuit), shown: row.shown }];
    }),
  );
}
