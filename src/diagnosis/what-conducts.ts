import type { Circuit } from "../domain/circuit.ts";
import type { ModelTerms } from "../domain/model-terms.ts";
import type { ConductingProblem } from "../inference/problem.ts";

/** A switch stuck closed, and a pressed one [Ω]. */
const closed = { medianOhms: 2, logSd: 1 };
/** A leaking pad, and water across a plate or a pod [Ω]. */
const leak = { medianOhms: 2000, logSd: 1.5 };

/** All that may conduct across a circuit's pair, at most one of them: its device, its wet links. */
export function whatConducts(
  { path }: Pick<Circuit, "path">,
  { stuck, leaking, wetLeak }: ModelTerms,
): readonly ConductingProblem[] {
  const link = path.length - 1;
  const all: readonly ConductingProblem[] = [
    { kind: "stuck", link, chance: stuck, ...closed },
    { kind: "leaking", link, chance: leaking, ...leak },
    ...path.flatMap(({ connector }, at): ConductingProblem[] =>
      connector.wet ? [{ kind: "wet", link: at, chance: wetLeak, ...leak }] : [],
    ),
  ];
  return all.filter(({ chance }) => chance > 0);
}
