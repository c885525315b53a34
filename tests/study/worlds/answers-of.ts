import type { ExplanationKind } from "../../../src/domain/explanation-kinds.ts";
import { diagnose } from "../../../src/rooms/diagnosis-room.ts";
import type { Pool } from "../../../src/rooms/domain-room.ts";
import { readPool, readReadings } from "../../../src/rooms/intake-room.ts";
import { circuitName, connectorName } from "./layout.ts";

/** What the program says of one walk, in the shape of `check --json`. */
export interface Answers {
  /** In the order of the ranking. */
  readonly connectors: readonly {
    readonly name: string;
    readonly atFault: number;
    readonly voltsLost: number;
  }[];
  readonly circuits: readonly {
    readonly name: string;
    readonly verdict: "sound" | "weak" | "read-again";
    readonly reason: string;
    readonly underLimit: number | null;
  }[];
  /** Null where the program has no fit test. */
  readonly fitP: number | null;
  readonly explanations: readonly {
    readonly kind: ExplanationKind;
    readonly lane: number | string | null;
    readonly device: string | null;
    readonly probability: number;
  }[];
  /** ln P(all displayed values). */
  readonly logEvidence: number;
  /** Rows that were not used. */
  readonly rejected: number;
}

const pools = new Map<string, ReturnType<typeof readPool>>();

/** One pool object for one text: what is laid out for a pool serves all of its walks. */
function poolOf(text: string): Pool {
  const read = pools.get(text) ?? readPool(text, "pool.yaml");
  pools.set(text, read);
  if (!read.ok) throw new Error(read.error.map(({ message }) => message).join("; "));
  return read.value;
}

/** The one place where the studies touch the program: text in, answers out. */
export function answersOf(poolText: string, readingsText: string, rivals = false): Answers {
  const pool = poolOf(poolText);
  const { readings, rejected } = readReadings(readingsText, pool, "readings.csv");
  const walk = diagnose(pool, readings, rivals);
  return {
    connectors: walk.connectors.map(({ point, lanes, device, atFault, voltsLost }) => ({
      name: connectorName(point, lanes, device),
      atFault,
      voltsLost,
    })),
    circuits: walk.circuits.map(({ lane, device, underLimit, verdict, reason }) => ({
      name: circuitName({ lane: lane as number, device }),
      verdict,
      reason,
      underLimit,
    })),
    fitP: walk.fit.p,
    explanations: walk.explanations,
    logEvidence: walk.logEvidence,
    rejected: rejected.length,
  };
}
