import {
  type ConductingKind,
  conducts,
  type ExplanationKind,
  explanationKinds,
  isRival,
  type RivalKind,
  type SharedKind,
} from "../domain/explanation-kinds.ts";
import type {
  CircuitFinding,
  ContactFinding,
  Estimate,
  Explanation,
  MeterSight,
} from "../domain/findings.ts";
import { circuitName } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { normalCdf, TO_EDGE } from "../numerics/normal.ts";
import type { WeighedWalk } from "./rivals/weigh-rivals.ts";
import type { PosedWalk } from "./walk-problem.ts";
import { wrongLoad } from "./wrong-load.ts";

/** A walk with what its contacts and circuits have been found to be. */
export interface ExplainedWalk {
  readonly pool: Pool;
  readonly posed: PosedWalk;
  readonly weighed: WeighedWalk;
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

/** How each kind is weighed that is read off what a walk's circuits share. */
const weighers: Readonly<Record<SharedKind, (walk: ExplainedWalk) => readonly Explanation[]>> = {
  "display-off": displayOff,
  "supply-low": supplyLow,
  "meter-load": wrongLoad,
  "meter-blind": meterBlind,
};

function weighed(walk: ExplainedWalk, kind: ExplanationKind): readonly Explanation[] {
  if (conducts(kind)) return conducting(walk, kind);
  return isRival(kind) ? rivalsOf(walk, kind) : weighers[kind](walk);
}

/** All explanations that the readings do not rule out, the likeliest first. */
export const explanationsOf = (walk: ExplainedWalk): readonly Explanation[] =>
  explanationKinds
    .flatMap((kind) => weighed(walk, kind))
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
const conducting = ({ circuits }: ExplainedWalk, kind: ConductingKind): readonly Explanation[] =>
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
function displayOff({ posed, weighed: { found } }: ExplainedWalk): readonly Explanation[] {
  const byMeter = new Map<string, number>();
  for (const [number, { off }] of found.readings) {
    const { meter } = posed.order.readings[number]!;
    byMeter.set(meter, Math.max(off, byMeter.get(meter) ?? 0));
  }
  return [...byMeter].map(([meter, off]) => aboutWalk("display-off", meter, off));
}

/** Of each supply: P(its EMF lies under the nominal one by two prior standard deviations). */
function supplyLow({ pool, posed, weighed: { found } }: ExplainedWalk): readonly Explanation[] {
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
  return normalCdf(((limit - median) * 2 * TO_EDGE) / (high - low));
}

/** A meter that cannot show a path at its limit explains any row of good readings. */
function meterBlind({ meters }: ExplainedWalk): readonly Explanation[] {
  return meters.filter(({ blind }) => blind).map(({ meter }) => aboutWalk("meter-blind", meter, 1));
}

/** Rivals of the whole walk, with the circuit, the point and the other thing that they are about. */
const rivalsOf = ({ posed, weighed }: ExplainedWalk, kind: RivalKind): readonly Explanation[] =>
  weighed.rivals
    .filter(({ rival }) => rival.kind === kind)
    .map(({ rival: { circuit: c, link, other }, probability }) => {
      const circuit = c === null ? null : posed.circuits[c]!;
      const second =
        kind === "points-swapped" ? circuit!.path[other!]!.point : otherName(posed, other);
      return {
        ...aboutWalk(kind, second, probability),
        ...(circuit === null ? {} : circuitName(circuit)),
        point: circuit === null || link === null ? null : circuit.path[link]!.point,
      };
    });

/** `4 touchpad`: the lane, the device and the end of another circuit. */
const otherName = ({ circuits }: PosedWalk, other: number | null): string | null => {
  if (other === null) return null;
  const { lane, device, end } = circuits[other]!;
  return [lane, device, end].filter((part) => part !== null).join(" ");
};
