import type { MemoOption, MemoOptions, OptionYear } from "../../src/decision/memo-options.ts";
import type { ConnectorPlace } from "../../src/policy/decision.ts";
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
  lanesKept: number,
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
      kind === "keep-cleaning"
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
    lanesKept,
  };
}

const plates = [1, 2, 3, 4, 5, 6, 7, 8].map((lane) => place(lane, "plate", "plate connector"));

export const memo: MemoOptions = {
  currency: "EUR",
  discountRate: rate,
  horizonYears: years,
  timing: "end-of-year",
  lanes: 8,
  options: [
    option("keep-cleaning", "keep-cleaning", "Keep cleaning", [], base, 5.1),
    option(
      "replace-worst",
      "replace-worst",
      "Replace the 2 worst connectors",
      worst,
      replaceWorst,
      7.4,
    ),
    option(
      "replace-class:plate",
      "replace-class",
      "Replace every plate connector",
      plates,
      replaceClass,
      7.1,
    ),
  ],
  preferred: "replace-worst",
  sensitivity: [
    {
      assumption: "price of a lost lane",
      unit: "currency",
      base: 200,
      low: {
        value: 50,
        lifeCycleCosts: [3100, 3200, 4000],
        netSavings: -100,
        best: "keep-cleaning",
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
  budget: [
    { spent: 0, replaced: null, lanesKept: 5.1, lifeCycleCost: presentValue(base) },
    { spent: 180, replaced: worst[0]!, lanesKept: 6.2, lifeCycleCost: 4300 },
    { spent: 420, replaced: worst[1]!, lanesKept: 7.4, lifeCycleCost: presentValue(replaceWorst) },
  ],
};
