import type { Circuit } from "../domain/circuit.ts";
import { type ConductingKind, conducts, explanationKinds } from "../domain/explanation-kinds.ts";
import type { ModelTerms } from "../domain/model-terms.ts";
import type { ConductingProblem } from "../inference/problem.ts";

/** A switch stuck closed, and a pressed one [Ω]. */
const closed = { medianOhms: 2, logSd: 1 };
/** A leaking pad, and water across a plate or a pod [Ω]. */
const leak = { medianOhms: 2000, logSd: 1.5 };

type Across = Omit<ConductingProblem, "kind">;

/** Where each kind may conduct, and how likely. */
const across: Readonly<
  Record<ConductingKind, (path: Circuit["path"], terms: ModelTerms) => readonly Across[]>
> = {
  stuck: ({ length }, { stuck }) => [{ link: length - 1, chance: stuck, ...closed }],
  leaking: ({ length }, { leaking }) => [{ link: length - 1, chance: leaking, ...leak }],
  wet: (path, { wetLeak }) =>
    path.flatMap(({ connector }, link) =>
      connector.wet ? [{ link, chance: wetLeak, ...leak }] : [],
    ),
};

/** All that may conduct across a circuit's pair, at most one of them: its device, its wet links. */
export const whatConducts = (
  { path }: Pick<Circuit, "path">,
  terms: ModelTerms,
): readonly ConductingProblem[] =>
  explanationKinds
    .filter(conducts)
    .flatMap((kind) => across[kind](path, terms).map((one) => ({ kind, ...one })))
    .filter(({ chance }) => chance > 0);
