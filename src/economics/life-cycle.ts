import { capitalRecovery, presentWorth, presentWorthMidPeriod } from "../numerics/interest.ts";

/**
 * Life-cycle economics of one option against another, from yearly cash flows in constant money.
 *
 * Year 0 is now, at face value. A flow of year t falls at the end of that year, or in its middle
 * where `timing` says so; a residual value always falls at the end. The study period may end
 * inside its last year: that year's flows then fall at the end of the period.
 *
 * Sources: ASTM E917 (life-cycle cost), E964 (benefit-to-cost and savings-to-investment ratios),
 * E1057 (internal rate of return and adjusted internal rate of return), E1074 (net benefits and net
 * savings), E1121 (payback); NIST Handbook 135.
 */
type Timing = "end-of-year" | "mid-year";

/** What one option costs in one year, all outgoing money positive. */
export interface YearFlow {
  /** 0 is now [year; whole, 0 or more]. */
  readonly year: number;
  /**
   * Capital: first cost and later replacements, on the investment side of the ratio [currency;
   * any].
   */
  readonly investment: number;
  /** Operation, maintenance and losses, on the savings side of the ratio [currency; any]. */
  readonly operating: number;
  /** What is got back at the end, positive [currency]. */
  readonly residual: number;
}

/** The period and rate that two options are compared over. */
export interface Study {
  /** Real discount rate [per year]. */
  readonly discountRate: number;
  /** Length of the study period [years]. */
  readonly years: number;
  readonly timing: Timing;
}

/** One option against the base case. Null: not defined, as `why` says. */
export interface Comparison {
  /** Present value of operating costs saved [currency; any]. */
  readonly operatingSavings: number;
  /** Present value of the investment made beyond the base case's [currency; any]. */
  readonly addedInvestment: number;
  /** Life-cycle cost saved: base less option. Positive is worth doing [currency; any]. */
  readonly netSavings: number;
  /**
   * Savings per unit of added investment; null where nothing is invested beyond the base case [1;
   * any].
   */
  readonly savingsToInvestment: number | null;
  /** Adjusted internal rate of return, savings reinvested at the discount rate [per year]. */
  readonly adjustedReturn: number | null;
  /**
   * First year by whose end the savings have paid the first cost back; null within no year [year;
   * whole, 1 or more].
   */
  readonly simplePaybackYear: number | null;
  /** The same with every flow discounted [year; whole, 1 or more]. */
  readonly discountedPaybackYear: number | null;
}

/** Present worth of 1 in year `t` of a study. */
export function discountFactor(study: Study, t: number): number {
  if (t === 0) return 1;
  if (study.timing === "mid-year") {
    const half = Math.min(1, study.years - (t - 1)) / 2;
    return presentWorthMidPeriod(study.discountRate, t - 0.5 + half);
  }
  return presentWorth(study.discountRate, Math.min(t, study.years));
}

/** Life-cycle cost of one option in present value. */
export function lifeCycleCost(flows: readonly YearFlow[], study: Study): number {
  return flows.reduce(
    (sum, flow) =>
      sum +
      (flow.investment + flow.operating) * discountFactor(study, flow.year) -
      flow.residual * presentWorth(study.discountRate, Math.min(flow.year, study.years)),
    0,
  );
}

/**
 * The same every year: what a present value costs at the end of each year of the study.
 *
 * @param present Present value [currency; any].
 */
export const annualValue = (present: number, study: Study): number =>
  present * capitalRecovery(study.discountRate, study.years);

interface Difference {
  readonly year: number;
  readonly operatingSaved: number;
  readonly investmentAdded: number;
  readonly residualAdded: number;
}

/** Option against base, year by year from 0 to the last of either. */
function differences(base: readonly YearFlow[], option: readonly YearFlow[]): Difference[] {
  const lastYear = Math.max(...base.map((flow) => flow.year), ...option.map((flow) => flow.year));
  const total = (flows: readonly YearFlow[], year: number, part: keyof YearFlow): number =>
    flows.reduce((sum, flow) => (flow.year === year ? sum + flow[part] : sum), 0);
  return Array.from({ length: lastYear + 1 }, (_, year) => ({
    year,
    operatingSaved: total(base, year, "operating") - total(option, year, "operating"),
    investmentAdded: total(option, year, "investment") - total(base, year, "investment"),
    residualAdded: total(option, year, "residual") - total(base, year, "residual"),
  }));
}

/**
 * First year by whose end the accumulated savings reach the added first cost, avoided replacements
 * counted when they fall, residual values left out; null where they never do. A first cost that is
 * not above the base case's is paid back in year 0.
 */
function paybackYear(rows: readonly Difference[], worth: (year: number) => number): number | null {
  let balance = 0;
  for (const row of rows) {
    balance += (row.operatingSaved - row.investmentAdded) * worth(row.year);
    if (balance >= 0) return row.year;
  }
  return null;
}

/** Compares an option with the base case. */
export function compareOptions(
  base: readonly YearFlow[],
  option: readonly YearFlow[],
  study: Study,
): Comparison {
  const rows = differences(base, option);
  const worth = (year: number): number => discountFactor(study, year);
  const atEnd = (year: number): number =>
    presentWorth(study.discountRate, Math.min(year, study.years));
  const operatingSavings = rows.reduce((sum, row) => sum + row.operatingSaved * worth(row.year), 0);
  const addedInvestment = rows.reduce(
    (sum, row) => sum + row.investmentAdded * worth(row.year) - row.residualAdded * atEnd(row.year),
    0,
  );
  const ratio = addedInvestment > 0 ? operatingSavings / addedInvestment : null;
  return {
    operatingSavings,
    addedInvestment,
    netSavings: operatingSavings - addedInvestment,
    savingsToInvestment: ratio,
    adjustedReturn:
      ratio === null || ratio < 0 ? null : adjustedReturn(ratio, study.discountRate, study.years),
    simplePaybackYear: paybackYear(rows, () => 1),
    discountedPaybackYear: paybackYear(rows, worth),
  };
}

/** AIRR from a savings-to-investment ratio, savings reinvested at the rate `r` for `n` years. */
const adjustedReturn = (ratio: number, r: number, n: number): number =>
  (1 + r) * ratio ** (1 / n) - 1;
