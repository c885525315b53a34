import type { ConnectorPlace, Decision } from "../../src/domain/decision.ts";
import type { MemoOption, MemoOptions, OptionYear } from "../../src/economics/memo-options.ts";
import { placeOf } from "../plain-pool.ts";

/** An invented capital request: what the memo prints is tested here, not the economics. */
const rate = 0.03;
const years = 10;

const place = (lane: number, point: string, connector: string, device: string | null = null) =>
  ({ ...placeOf(point, lane, device), connector }) satisfies ConnectorPlace;

export const worst = [
  place(3, "plate", "plate connector"),
  place(7, "pod", "pod terminals", "button-1"),
];

function flow(now: number, renewing: number, cleaning: number, lostLanes: number): OptionYear[] {
  return Array.from({ length: years + 1 }, (_, year) => {
    const one =
      year === 0
        ? { replacing: now, renewing: 0, cleaning: 0, lostLanes: 0 }
        : { replacing: 0, renewing, cleaning, lostLanes };
    return { year, ...one, total: one.replacing + one.renewing + one.cleaning + one.lostLanes };
  });
}

const presentValue = (cash: readonly OptionYear[]): number =>
  cash.reduce((sum, one) => sum + one.total / (1 + rate) ** one.year, 0);

const base = flow(0, 40, 310, 360);
const replaceWorst = flow(420, 20, 160, 90);
const replaceClass = flow(1440, 10, 120, 60);

function option(
  id: string,
  kind: MemoOption["kind"],
  label: string,
  replaced: readonly ConnectorPlace[],
  cash: readonly OptionYear[],
  lost: number,
): MemoOption {
  const request = cash[0]!.replacing;
  const lifeCycleCost = presentValue(cash);
  const netSavings = presentValue(base) - lifeCycleCost;
  return {
    id,
    kind,
    label,
    replaced,
    request,
    cashFlow: cash,
    lifeCycleCost,
    annualCost: lifeCycleCost / 8.53,
    comparison:
      kind === "plan"
        ? null
        : {
            operatingSavings: netSavings + request,
            addedInvestment: request,
            netSavings,
            savingsToInvestment: (netSavings + request) / request,
            adjustedReturn: 1.03 * ((netSavings + request) / request) ** 0.1 - 1,
            simplePaybackYear: 1,
            discountedPaybackYear: request > 1000 ? 3 : 1,
          },
    chanceSaves: kind === "plan" ? null : 0.87,
    lostLanes: { firstYear: 2 * lost, onAverage: lost },
  };
}

const plates = [1, 2, 3, 4, 5, 6, 7, 8].map((lane) => place(lane, "plate", "plate connector"));

export const memo: MemoOptions = {
  currency: "EUR",
  discountRate: rate,
  horizonYears: years,
  timing: "end-of-year",
  options: [
    option("plan", "plan", "Follow the plan", [], base, 1.8),
    option(
      "replace-worst",
      "replace-worst",
      "Replace the 2 worst connectors",
      worst,
      replaceWorst,
      0.4,
    ),
    option(
      "replace-class:plate",
      "replace-class",
      "Replace every plate connector",
      plates,
      replaceClass,
      0.3,
    ),
  ],
  requested: "replace-worst",
  followed: "replace-worst",
  sensitivity: [
    {
      assumption: "price of a lost lane",
      unit: "currency",
      base: 200,
      low: {
        value: 50,
        lifeCycleCosts: [3100, 3200, 4000],
        netSavings: -100,
        best: "plan",
      },
      high: {
        value: 500,
        lifeCycleCosts: [9500, 3900, 4900],
        netSavings: 5600,
        best: "replace-worst",
      },
      changesRanking: true,
    },
    {
      assumption: "labour",
      unit: "times",
      base: 1,
      low: {
        value: 0.5,
        lifeCycleCosts: [4700, 2100, 2800],
        netSavings: 2600,
        best: "replace-worst",
      },
      high: {
        value: 2,
        lifeCycleCosts: [8700, 4000, 4800],
        netSavings: 4700,
        best: "replace-worst",
      },
      changesRanking: false,
    },
    {
      assumption: "discount rate",
      unit: "per year",
      base: 0.03,
      low: {
        value: 0.01,
        lifeCycleCosts: [6700, 2900, 3300],
        netSavings: 3800,
        best: "replace-worst",
      },
      high: {
        value: 0.07,
        lifeCycleCosts: [5000, 2300, 2800],
        netSavings: 2700,
        best: "replace-worst",
      },
      changesRanking: false,
    },
  ],
};

/** What the plan does about the worst of them now. */
export const plateDecision: Decision = {
  place: worst[0]!,
  atFault: 0.99,
  open: 0.02,
  film: 0.7,
  weeksHeld: [],
  action: "clean",
  sure: 0.93,
  presentCost: 418,
  courses: [
    { kind: "wait", presentCost: 600, chanceBest: 0.05 },
    { kind: "read-again", presentCost: 420, chanceBest: 0 },
    { kind: "clean", presentCost: 418, chanceBest: 0.93 },
    { kind: "replace", presentCost: 500, chanceBest: 0.02 },
  ],
  thresholds: { first: "clean", cleanUnder: 4.83, replaceUnder: 4.6, replaceAfter: null },
  lastPoint: "pod",
  lookMinutes: 4,
  lookCost: 2.67,
  ifNoBreak: null,
  cleanMinutes: 12,
  replaceMinutes: 40,
  cleanCost: 8,
  replaceCost: 147,
  breakEvenPart: 90,
  stillLowAfterCleaning: false,
};
