import type { ConnectorFinding, WalkDiagnosis } from "../domain/findings.ts";
import { samePlace } from "../domain/place.ts";

/** A connector that one walk would judge otherwise. */
export interface RankingChange {
  readonly connector: ConnectorFinding;
  /** P(at fault) with the pool file as it is. */
  readonly now: number;
  /** P(at fault) with the proposed numbers. */
  readonly proposed: number;
}

/** Less is not told. */
const TOLD = 0.02;

/** Connectors whose probability would change, the largest change first. */
export function rankingChanges(
  now: Pick<WalkDiagnosis, "connectors">,
  then: Pick<WalkDiagnosis, "connectors">,
): readonly RankingChange[] {
  return now.connectors
    .flatMap((connector): RankingChange[] => {
      const other = then.connectors.find((one) => samePlace(one, connector));
      return other === undefined
        ? []
        : [{ connector, now: connector.atFault, proposed: other.atFault }];
    })
    .filter((change) => Math.abs(change.proposed - change.now) >= TOLD)
    .sort((a, b) => Math.abs(b.proposed - b.now) - Math.abs(a.proposed - a.now));
}
