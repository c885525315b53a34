import type { ExplanationKind } from "../domain/explanation-kinds.ts";
import type {
  CircuitFinding,
  ContactFinding,
  Estimate,
  Explanation,
  MeterSight,
} from "../domain/findings.ts";
import { circuitName } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { WalkInference } from "../inference/infer.ts";
import { normalCdf, normalQuantile } from "../numerics/normal.ts";
import type { PosedWalk } from "./walk-problem.ts";
import { wrongLoad } from "./wrong-load.ts";

/** A walk with what its contacts and circuits have been found to be. */
export interface ExplainedWalk {
  readonly pool: Pool;
  readonly posed: PosedWalk;
  readonly found: WalkInference;
  readonly contacts: readonly ContactFinding[];
  readonly circuits: readonly CircuitFinding[];
  readonly meters: readonly MeterSight[];
  /** Explanations that take an inference of their own are asked for. */
  readonly rivals: boolean;
}

/** An explanation less likely than this is left out. */
const LEAST = 0.01;
/** The supply is called low this many prior standard deviations under its nominal EMF. */
const LOW_SDS = 2;

/** How each kind of explanation is weighed. */
const weighers: Readonly<Record<ExplanationKind, (walk: ExplainedWalk) => readonly Explanation[]>> =
  {
    stuck: (walk) => conducting(walk, "stuck"),
    leaking: (walk) => conducting(walk, "leaking"),
    wet: (walk) => conducting(walk, "wet"),
    "display-off": displayOff,
    "supply-low": supplyLow,
    "meter-load": wrongLoad,
    "meter-blind": meterBlind,
  };

/** All explanations that the readings do not rule out, the likeliest first. */
export const explanationsOf = (walk: ExplainedWalk): readonly Explanation[] =>
  Object.values(weighers)
    .flatMap((weigh) => weigh(walk))
    .filter(({ probability }) => probability >= LEAST)
    .sort((a, b) => b.probability - a.probability);

/** About the walk, a supply or a meter: no circuit of its own. */
const aboutWalk = (kind: ExplanationKind, of: string | null, probability: number): Explanation => ({
  kind,
  lane: null,
  device: null,
  end: null,
  point: null,
  of,
  probability,
});

/** What conducts is part of the one posterior. */
const conducting = (
  { circuits }: ExplainedWalk,
  kind: "stuck" | "leaking" | "wet",
): readonly Explanation[] =>
  circuits.flatMap((circuit) =>
    circuit.conducting
      .filter((one) => one.kind === kind)
      .map(({ point, probability }) => ({
        kind,
        ...circuitName(circuit),
        point,
        of: null,
        probability,
      })),
  );

/** Of each meter: P(its display was off at the zero where that is likeliest). */
function displayOff({ posed, found }: ExplainedWalk): readonly Explanation[] {
  const byMeter = new Map<string, number>();
  for (const [number, { off }] of found.readings) {
    const { meter } = posed.order.readings[number]!;
    byMeter.set(meter, Math.max(off, byMeter.get(meter) ?? 0));
  }
  return [...byMeter].map(([meter, off]) => aboutWalk("display-off", meter, off));
}

/** Of each supply: P(its EMF lies under the nominal one by two prior standard deviations). */
function supplyLow({ pool, posed, found }: ExplainedWalk): readonly Explanation[] {
  return pool.supplies.flatMap((supply, s): Explanation[] => {
    const isRead = posed.circuits.some((circuit) => circuit.supply.name === supply.name);
    if (!isRead || supply.emfSd === 0) return [];
    const low = supply.emf - LOW_SDS * supply.emfSd;
    return [aboutWalk("supply-low", supply.name, probabilityBelow(found.shared.emf[s]!, low))];
  });
}

/** P(x < limit) from three quantiles: between them the posterior is near enough a normal. */
function probabilityBelow({ median, low, high }: Estimate, limit: number): number {
  if (high <= limit) return 1;
  if (low > limit + (high - low)) return 0;
  return normalCdf(((limit - median) * 2 * normalQuantile(0.95)) / (high - low));
}

/** A meter that cannot see a fouled contact explains any row of good readings. */
function meterBlind({ meters }: ExplainedWalk): readonly Explanation[] {
  return meters.filter(({ blind }) => blind).map(({ meter }) => aboutWalk("meter-blind", meter, 1));
}
