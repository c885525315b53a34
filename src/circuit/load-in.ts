import type { WalkDiagnosis } from "../domain/findings.ts";
import { type Meter, UNIT_LOAD } from "../domain/pool.ts";

/** A meter's load: the pool file's, else its median as this walk has it [Ω]. */
export const loadIn = (
  { loads }: Pick<WalkDiagnosis, "loads">,
  { name, loadOhms }: Pick<Meter, "name" | "loadOhms">,
): number => loadOhms ?? loads.find((load) => load.name === name)?.ohms.median ?? UNIT_LOAD;
