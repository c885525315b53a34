import { type Costs, defaultCosts } from "../../src/domain/costs.ts";
import type { ConnectorPlace } from "../../src/domain/decision.ts";
import { circuitKey } from "../../src/domain/place.ts";
import { ohms, volts } from "../../src/domain/units.ts";
import type { Track } from "../../src/economics/track.ts";
import type { UpkeepGroup } from "../../src/economics/upkeep.ts";
import { placeOf, poolFrom, usualContacts } from "../plain-pool.ts";
import { law, view } from "../policy/sample-law.ts";

/** An invented pool of three lanes, one pad each, behind a plate of its own and its pod. */
export const pool = poolFrom({
  name: "Kestrel Bay",
  lanes: [1, 2, 3],
  devices: ["touchpad"],
  supply: { emf: volts(5), emfSd: volts(0.05), sourceOhms: ohms(0) },
  meters: [
    {
      name: "deck",
      loadOhms: ohms(1000),
      resolution: volts(0.01),
      noise: volts(0.02),
      offAfter: null,
    },
  ],
  chain: [
    {
      point: "plate",
      connector: "wall plate",
      sharedBy: "lane",
      wireOhms: ohms(2),
      contaminated: 0.02,
      fouled: 0.01,
      fouledIfContaminated: 0.5,
    },
    {
      point: "pod",
      connector: "pod terminals",
      sharedBy: "device",
      wireOhms: ohms(0.3),
      contaminated: 0,
      fouled: 0.01,
      fouledIfContaminated: 0.01,
    },
  ],
  ...usualContacts,
});

export const circuit = (lane: number): string =>
  circuitKey({ lane, device: "touchpad", end: null });

export const plate = (lane: number): ConnectorPlace => ({
  ...placeOf("plate", lane),
  connector: "wall plate",
});

const exactly = (value: number) => ({ value, low: value, high: value });

/** Prices that are easily reckoned with: an hour's work costs 60, a meet is swum every month. */
export const costs: Costs = {
  ...defaultCosts(pool.links),
  labourPerHour: exactly(60),
  discountRate: exactly(0),
  horizonYears: exactly(2),
  meetsPerSeason: exactly(12),
  lostLane: exactly(1000),
  lossChance: exactly(0.5),
  ownFailure: exactly(0),
  fallbackCost: exactly(0),
  lookMinutes: 15,
  checkWeeks: 13,
};

/** Cleaned in 10 minutes; replaced by a part of 100 in 20. */
const kept = {
  part: 100,
  cleanMinutes: 10,
  replaceMinutes: 20,
  lifeYears: 10,
  lifeShape: 1,
  ageYears: 1,
};

const rule = {
  first: "clean",
  cleanUnder: 4.8,
  replaceUnder: null,
  replaceAfter: 1,
  leaveAfter: null,
  cleanEvery: null,
} as const;

/** Plates of these lanes, kept alike. */
export const group = (
  lanes: readonly number[],
  changed: Partial<UpkeepGroup> = {},
): UpkeepGroup => ({
  law,
  kind: "wall plate 1",
  places: lanes.map(plate),
  contacts: [
    {
      copies: 1,
      circuits: lanes.map(circuit),
      view,
      rule,
      ruleWhenNew: rule,
      beliefs: [
        {
          belief: [
            {
              ...({ state: "conducts", oxide: 0.3, level: Math.log(0.5), weight: 1 } as const),
              growth: { kind: "log", rate: 0.08 },
            },
          ],
          ageWeeks: 0,
          share: 1,
        },
      ],
    },
  ],
  costs: kept,
  first: "wait",
  looks: false,
  suspect: false,
  ...changed,
});

/** A track of so many quarters with nothing in it but what is given. */
export const track = (
  quarters: number,
  given: {
    readonly isNew?: boolean;
    readonly now?: Track["now"];
    readonly cleanings?: readonly number[];
    readonly replacements?: readonly number[];
    readonly low?: readonly number[];
    readonly open?: readonly number[];
    readonly intermittent?: readonly number[];
  } = {},
): Track => {
  const row = (values: readonly number[] = []): Float64Array =>
    Float64Array.from({ length: quarters }, (_, k) => values[k] ?? 0);
  return {
    isNew: given.isNew ?? false,
    now: given.now ?? { cleanings: 0, replacements: 0 },
    cleanings: row(given.cleanings),
    replacements: row(given.replacements),
    trouble: [
      { low: row(given.low), open: row(given.open), intermittent: row(given.intermittent) },
    ],
  };
};
