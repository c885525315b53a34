import type { ContactFinding, Explanation } from "../domain/findings.ts";
import { isFaulty } from "../domain/findings.ts";
import { circuitKey } from "../domain/place.ts";
import { infer } from "../inference/infer.ts";
import type { ExplainedWalk } from "./explanations.ts";
import { shelfOf } from "./pool-shelf.ts";

/** P(the meter's load is not what the pool file says). */
const WRONG_LOAD = 0.02;
/** How wrong it may be: each as likely as the others. */
const LOAD_FACTORS = [0.25, 0.5, 2, 4];
/** So many circuits must be read, and this share seem faulty alike, before the question is asked. */
const FEWEST = 3;
const ALIKE = 0.8;

/**
 * Whether the first meter's load is other than the pool file says: the walk's evidence with the load
 * a few times as large or small, against the evidence as it stands. Asked only where nearly all
 * circuits seem faulty: a wrong load makes all of them lose volts alike.
 */
export function wrongLoad({
  pool,
  posed,
  weighed: { found },
  contacts,
  rivals,
}: ExplainedWalk): readonly Explanation[] {
  const { loadOhms, name } = pool.meters[0]!;
  const { read, faulty } = circuitsOf(contacts);
  if (!rivals || loadOhms === null || read < FEWEST || faulty < ALIKE * read) return [];
  const chance = 1 / LOAD_FACTORS.length;
  const exact = LOAD_FACTORS.map((factor) => ({ chance, ohms: factor * loadOhms }));
  const loads = posed.problem.loads.with(0, { exact, medianOhms: loadOhms, logSd: 1 });
  const other = infer({ ...posed.problem, loads }, shelfOf(pool));
  const logBayesFactor = other.logEvidence - found.logEvidence;
  const odds = logBayesFactor + Math.log(WRONG_LOAD / (1 - WRONG_LOAD));
  const probability = 1 / (1 + Math.exp(-odds));
  return [
    {
      kind: "meter-load",
      ...{ lane: null, device: null, end: null, point: null, of: name },
      probability,
    },
  ];
}

/** How many circuits were read, and how many have a contact that is more likely faulty than sound. */
function circuitsOf(contacts: readonly ContactFinding[]): { read: number; faulty: number } {
  const circuits = new Map<string, boolean>();
  for (const contact of contacts) {
    const key = circuitKey(contact);
    circuits.set(key, circuits.get(key) === true || isFaulty(contact));
  }
  return { read: circuits.size, faulty: [...circuits.values()].filter((one) => one).length };
}
