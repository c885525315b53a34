import type {
  ConnectorFinding,
  ContactFinding,
  Explanation,
  WalkDiagnosis,
} from "../domain/findings.ts";
import {
  type CircuitName,
  circuitKey,
  circuitName,
  connectorAt,
  type Lane,
  placeKey,
} from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { type ChainPool, chainPools, inPoolsWords, partKey, readingsOf } from "./chain-pool.ts";
import { diagnoseChain } from "./diagnose-chain.ts";
import { metersSeen } from "./meter-sight.ts";

/**
 * What one walk's readings say about every contact of the circuits that were read: the pool's parts
 * diagnosed one by one (`diagnose-chain.ts`), their findings under the pool's own names, in its order.
 */
export function diagnose(pool: Pool, readings: readonly Reading[], rivals = true): WalkDiagnosis {
  const meters = metersSeen(pool, readings);
  const found = chainPools(pool).flatMap((part) => {
    const own = readingsOf(pool, part, readings);
    return own.length === 0 ? [] : [named(part, diagnoseChain(part, own, meters, rivals))];
  });
  const walk = readings[0]?.walk ?? "";
  const sharpest = found.map(({ emf }) => emf).sort((a, b) => a.high - a.low - (b.high - b.low))[0];
  const loadKnown = pool.meters.every(({ loadOhms }) => loadOhms !== null);
  const order = new Map(pool.circuits.map((one, at) => [circuitKey(one), at]));
  const inOrder = <Of extends CircuitName>(of: readonly Of[]): readonly Of[] =>
    of.toSorted((a, b) => order.get(circuitKey(a))! - order.get(circuitKey(b))!);
  return {
    walk,
    logEvidence: found.reduce((sum, one) => sum + one.logEvidence, 0),
    emf: sharpest ?? diagnoseChain(chainPools(pool)[0]!, []).emf,
    resistanceUnit: loadKnown ? "ohm" : "meter load",
    connectors: merged(found.flatMap(({ connectors }) => connectors)),
    contacts: inOrder(found.flatMap(({ contacts }) => contacts)),
    circuits: inOrder(found.flatMap(({ circuits }) => circuits)),
    explanations: once(found.flatMap(({ explanations }) => explanations)),
    takeAgain: inOrder(found.flatMap(({ takeAgain }) => takeAgain)),
    meters,
  };
}

/** A part's findings under the pool's own names. */
function named(part: ChainPool, found: WalkDiagnosis): WalkDiagnosis {
  const own = <Of extends { lane: Lane | null; device: string | null; end: string | null }>(
    one: Of,
  ): Of => {
    if (one.lane === null || one.device === null) return one;
    return { ...one, ...circuitName(circuitIn(part, one.lane, one.device)) };
  };
  const connectors = found.connectors.map((row): ConnectorFinding => {
    const { lane, device } = row.worst;
    const worst = own(row.worst);
    const { place } = connectorAt(circuitIn(part, lane!, device), row.point)!;
    return {
      ...row,
      ...place,
      circuits: row.circuits.map(inPoolsWords),
      worst,
      evidence: row.evidence.map(own),
      wouldSeparate: row.wouldSeparate === null ? null : own(row.wouldSeparate),
    };
  });
  return {
    ...found,
    connectors,
    contacts: found.contacts.map((one): ContactFinding => own(one)),
    circuits: found.circuits.map(own),
    takeAgain: found.takeAgain.map(own),
    explanations: found.explanations.map((one): Explanation => {
      const wouldTell = one.wouldTell === null ? null : inPoolsWords(one.wouldTell);
      return { ...own(one), words: inPoolsWords(one.words), wouldTell };
    }),
  };
}

const circuitIn = ({ circuits }: ChainPool, lane: Lane, device: string) =>
  circuits!.get(partKey({ lane, device }))!;

/** A connector that two parts share was found in each: faulty where either found it so. */
function merged(rows: readonly ConnectorFinding[]): readonly ConnectorFinding[] {
  const byPlace = new Map<string, ConnectorFinding>();
  for (const row of rows) {
    const before = byPlace.get(placeKey(row));
    const key = placeKey(row);
    if (before === undefined) byPlace.set(key, row);
    else {
      const worse = row.voltsLost > before.voltsLost ? row : before;
      const atFault = 1 - (1 - before.atFault) * (1 - row.atFault);
      byPlace.set(key, { ...worse, atFault, circuits: [...before.circuits, ...row.circuits] });
    }
  }
  const hundredth = (p: number): number => Math.round(100 * p);
  return [...byPlace.values()].sort(
    (a, b) => hundredth(b.atFault) - hundredth(a.atFault) || b.voltsLost - a.voltsLost,
  );
}

/** Explanations that every part gives are given once, the likeliest first. */
function once(explanations: readonly Explanation[]): readonly Explanation[] {
  const words = new Set<string>();
  return explanations
    .toSorted((a, b) => b.probability - a.probability)
    .filter((one) => !words.has(one.words) && words.add(one.words));
}
