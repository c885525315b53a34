import type { Circuit, Connector } from "./circuit.ts";

/** Two connectors that share some of their circuits, but neither holds all of the other's. */
export interface NotNested {
  readonly kind: "not-nested";
  readonly first: Connector;
  readonly second: Connector;
}

/**
 * Bodies are summed out along the nest of connectors, so their sets of circuits must be nested: of
 * two connectors one holds all of the other's circuits, or they have none in common. The first pair
 * that is not, or nothing.
 */
export function nestingClashes(circuits: readonly Circuit[]): readonly NotNested[] {
  const seen = new Set<string>();
  for (const { path } of circuits) {
    for (const [i, { connector: one }] of path.entries()) {
      for (const { connector: other } of path.slice(i + 1)) {
        const key = `${one.index} ${other.index}`;
        if (seen.has(key)) continue;
        seen.add(key);
        if (!isNested(one, other)) return [{ kind: "not-nested", first: one, second: other }];
      }
    }
  }
  return [];
}

function isNested(one: Connector, other: Connector): boolean {
  const [small, large] = one.circuits.length <= other.circuits.length ? [one, other] : [other, one];
  const held = new Set(large.circuits);
  return small.circuits.every((circuit) => held.has(circuit));
}
