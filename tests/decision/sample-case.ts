import type { ConnectorCase } from "../../src/decision/connector-case.ts";
import { type Costs, connectorDefaults, defaultCosts } from "../../src/domain/costs.ts";
import { placeOf } from "../plain-pool.ts";

/** An invented plate connector on lane 3: very likely fouled, about 75 ohms. */
export const plateCase: ConnectorCase = {
  place: { ...placeOf("plate", 3), connector: "plate connector" },
  atFault: 0.99,
  state: {
    sound: 0.01,
    fouled: 0.97,
    open: 0.02,
    soundLog: { mean: Math.log(0.2), sd: 0.8 },
    fouledLog: { mean: Math.log(75), sd: 0.1 },
  },
  growth: { mean: 0.12, sd: 0.05 },
  likeGrowth: { mean: 0.08, sd: 0.05 },
  floorOhms: 0.5,
  creepPerYear: 0.1,
  newOhms: 0.2,
  cure: { alpha: 3, beta: 2 },
  likeCure: { alpha: 8, beta: 2 },
  lowOhms: 38,
  scatterLogSd: 0.3,
  lossChance: 0.25,
  lanes: 1,
  takes: new Set(),
  path: { emf: 5, loadOhms: 1000, sourceOhms: 0, restOhms: 3.6 },
  costs: connectorDefaults.lane,
  ageYears: 4,
  weeksHeld: [],
  stillLowAfterCleaning: false,
  workSince: null,
};

export const sampleCosts: Costs = defaultCosts([]);
