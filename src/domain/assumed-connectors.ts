import type { AssumedRange } from "./assumed-figure.ts";
import type { Sharing } from "./circuit.ts";

/** A figure that goes by who passes through the connector; `low` and `high` are multiples of it. */
interface AssumedConnector extends AssumedRange {
  readonly by: Readonly<Record<Sharing, number>>;
}

/** `pool`, `lane`, `device`: of a connector that the pool shares, lanes or one lane, one device. */
const by = (
  pool: number,
  lane: number,
  device: number,
): Pick<AssumedConnector, "by" | "value" | "source"> => ({
  by: { pool, lanes: lane, lane, device },
  value: lane,
  source: "judgement",
});

/** What one connector costs to keep, and the range of each figure for a sensitivity. */
export const connectorRanges = {
  part: {
    ...{ key: "part", unit: "currency", least: 0, most: 1_000_000, low: 0.7, high: 1.5 },
    meaning: "price of a new connector, both halves",
    ...by(260, 120, 45),
  },
  cleanMinutes: {
    ...{ key: "clean_minutes", unit: "min", least: 0, most: 1440, low: 0.7, high: 2 },
    meaning: "one cleaning: open, clean, dry, close",
    ...by(20, 12, 8),
  },
  replaceMinutes: {
    ...{ key: "replace_minutes", unit: "min", least: 0, most: 1440, low: 0.7, high: 2 },
    meaning: "one replacement: the old one out, the new one in",
    ...by(90, 40, 25),
  },
  lifeYears: {
    ...{ key: "life_years", unit: "years", least: 0.1, most: 100, low: 0.6, high: 1.5 },
    meaning: "63 % have broken down by this age",
    ...by(12, 8, 8),
  },
  lifeShape: {
    ...{ key: "life_shape", unit: "", least: 0.5, most: 10, low: 0.8, high: 1.4 },
    meaning: "1 breaks down at any age alike, above 1 wears out",
    ...by(2.5, 2.5, 2.5),
  },
  ageYears: {
    ...{ key: "age_years", unit: "years", least: 0, most: 100, low: 0.5, high: 1.5 },
    meaning: "age of what is installed, where the work log shows no replacement",
    ...by(4, 4, 4),
  },
} as const satisfies Record<string, AssumedConnector>;
