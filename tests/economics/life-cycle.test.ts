import { describe, expect, test } from "vitest";
import {
  annualValue,
  compareOptions,
  discountFactor,
  lifeCycleCost,
  type Study,
  type YearFlow,
} from "../../src/economics/life-cycle.ts";

/**
 * The federal energy project of NIST's BLCC 5.3 example reports (comparative analysis, detailed
 * life-cycle cost, cash flow): 3 % real, 15 years, end-of-year, constant dollars. Verified. Energy
 * stands in the reports in whole dollars a year, hence 7 dollars of tolerance on what is summed from
 * those; with the printed present value of energy in their place all is met to the printed digit.
 */
describe("the worked comparison of NIST's life-cycle cost reports", () => {
  const study: Study = { discountRate: 0.03, years: 15, timing: "end-of-year" };
  const years = Array.from({ length: 16 }, (_, year) => year);
  const energyOld = [
    0, 1182, 1174, 1169, 1176, 1187, 1199, 1205, 1203, 1199, 1193, 1184, 1175, 1174, 1172, 1164,
  ];
  const energyNew = [0, 808, 802, 799, 804, 811, 819, 823, 822, 819, 815, 809, 803, 802, 801, 796];
  const existing: YearFlow[] = years.map((year) => ({
    year,
    investment: year === 0 ? 1500 : year === 10 ? 600 : 0,
    operating: year === 0 ? 0 : 50 + (year === 10 ? 200 : 0) + (energyOld[year] ?? 0),
    residual: year === 15 ? 450 : 0,
  }));
  const renewed: YearFlow[] = years.map((year) => ({
    year,
    investment: year === 0 ? 3000 : 0,
    operating: year === 0 ? 0 : 100 + (year === 8 ? 600 : 0) + (energyNew[year] ?? 0),
    residual: year === 15 ? 750 : 0,
  }));

  test("present values of each cost", () => {
    const only = (amounts: readonly number[]): YearFlow[] =>
      amounts.map((operating, year) => ({ year, investment: 0, operating, residual: 0 }));
    expect(Math.abs(lifeCycleCost(only(energyOld), study) - 14135)).toBeLessThan(7);
    expect(Math.abs(lifeCycleCost(only(energyNew), study) - 9659)).toBeLessThan(7);
    expect(Math.abs(600 * discountFactor(study, 10) - 446)).toBeLessThan(0.6);
    expect(Math.abs(450 * discountFactor(study, 15) - 289)).toBeLessThan(0.6);
    expect(Math.abs(750 * discountFactor(study, 15) - 481)).toBeLessThan(0.6);
  });

  test("life-cycle costs and their annual values", () => {
    const [old, fresh] = [lifeCycleCost(existing, study), lifeCycleCost(renewed, study)];
    expect(Math.abs(old - 16539)).toBeLessThan(7);
    expect(Math.abs(fresh - 13845)).toBeLessThan(7);
    expect(Math.abs(annualValue(old, study) - 1386)).toBeLessThan(1);
    expect(Math.abs(annualValue(fresh, study) - 1160)).toBeLessThan(1);
  });

  test("net savings, ratio, return and payback", () => {
    const found = compareOptions(existing, renewed, study);
    expect(Math.abs(found.netSavings - 2693)).toBeLessThan(4);
    expect(Math.abs(found.operatingSavings - 3554)).toBeLessThan(4);
    expect(Math.abs(found.addedInvestment - 861)).toBeLessThan(0.6);
    expect(Math.abs((found.savingsToInvestment ?? 0) - 4.13)).toBeLessThan(0.006);
    expect(Math.abs(100 * (found.adjustedReturn ?? 0) - 13.21)).toBeLessThan(0.011);
    expect(found.simplePaybackYear).toBe(5);
    expect(found.discountedPaybackYear).toBe(6);
  });
});

/** The same project, energy as the present value that the report prints, paid at once. */
describe("the same to the printed digit", () => {
  const study: Study = { discountRate: 0.03, years: 15, timing: "end-of-year" };
  const flows = (
    first: number,
    energy: number,
    yearly: number,
    extra: { readonly year: number; readonly cost: number },
    replaced: number,
    residual: number,
  ): readonly YearFlow[] =>
    Array.from({ length: 16 }, (_, year) => ({
      year,
      investment: year === 0 ? first : year === 10 ? replaced : 0,
      operating: year === 0 ? energy : yearly + (year === extra.year ? extra.cost : 0),
      residual: year === 15 ? residual : 0,
    }));
  const existing = flows(1500, 14_135, 50, { year: 10, cost: 200 }, 600, 450);
  const renewed = flows(3000, 9659, 100, { year: 8, cost: 600 }, 0, 750);
  const printed = (value: number | null, digits = 0): string => value!.toFixed(digits);

  test("present values of repairs, the replacement, what is left and the whole", () => {
    const of = (part: readonly YearFlow[], keep: Partial<YearFlow>): number =>
      lifeCycleCost(
        part.map((row) => ({ ...row, ...keep })),
        study,
      );
    const repairs = (part: readonly YearFlow[], energy: number): number =>
      of(part, { investment: 0, residual: 0 }) - energy;
    expect(printed(repairs(existing, 14_135))).toBe("746");
    // The report says 1,668: each of its two parts, 1,194 and 474, is rounded before they are added.
    expect(printed(repairs(renewed, 9659) - 100 * 11.937935)).toBe("474");
    expect(printed(100 * 11.937935)).toBe("1194");
    expect(printed(600 * discountFactor(study, 10))).toBe("446");
    expect(printed(450 * discountFactor(study, 15))).toBe("289");
    expect(printed(750 * discountFactor(study, 15))).toBe("481");
    expect(printed(lifeCycleCost(renewed, study))).toBe("13845");
    // 16,539 in the report: its energy is itself rounded by up to half a dollar.
    expect(Math.abs(lifeCycleCost(existing, study) - 16_539)).toBeLessThan(1);
  });

  test("net savings, savings, added investment, ratio and return", () => {
    const found = compareOptions(existing, renewed, study);
    expect(printed(found.netSavings)).toBe("2693");
    expect(printed(found.operatingSavings)).toBe("3554");
    expect(printed(found.addedInvestment)).toBe("861");
    expect(printed(found.savingsToInvestment, 2)).toBe("4.13");
    expect(printed(100 * found.adjustedReturn!, 2)).toBe("13.21");
  });
});

/**
 * The military construction example of NIST's BLCC 5.3-19 reports (ECIP report): an investment of
 * 170,000, 3 % real, repairs counted from one year after the base date, a study of 21 years. Verified.
 * Its savings as present values as printed: energy 262,564, recurring 40,844; 21,382 in the first year.
 */
test("repairs, ratio and return of NIST's military construction report", () => {
  const study: Study = { discountRate: 0.03, years: 21, timing: "end-of-year" };
  const repairs = [
    { year: 7, saved: 9000, printed: 7318 },
    { year: 13, saved: -9000, printed: -6128 },
    { year: 19, saved: 12_000, printed: 6843 },
    { year: 6, saved: -1500, printed: -1256 },
    { year: 11, saved: -1500, printed: -1084 },
    { year: 16, saved: -1500, printed: -935 },
  ];
  for (const { year, saved, printed } of repairs)
    expect(Math.abs(saved * discountFactor(study, year) - printed)).toBeLessThan(0.6);
  const option = [
    { year: 0, investment: 170_000, operating: -(262_564 + 40_844), residual: 0 },
    ...repairs.map(({ year, saved }) => ({ year, investment: 0, operating: -saved, residual: 0 })),
  ];
  const found = compareOptions([flow(0, 0, 0)], option, study);
  expect(Math.abs(found.operatingSavings - 308_166)).toBeLessThan(1);
  expect(found.savingsToInvestment!.toFixed(2)).toBe("1.81");
  expect((100 * found.adjustedReturn!).toFixed(2)).toBe("5.96");
});

const flow = (year: number, investment: number, operating: number): YearFlow => ({
  year,
  investment,
  operating,
  residual: 0,
});

test("by hand: 100 now that saves 60 in each of two years at 10 %", () => {
  const study: Study = { discountRate: 0.1, years: 2, timing: "end-of-year" };
  const base = [flow(0, 0, 0), flow(1, 0, 60), flow(2, 0, 60)];
  const option = [flow(0, 100, 0), flow(1, 0, 0), flow(2, 0, 0)];
  const found = compareOptions(base, option, study);
  // 60/1.1 + 60/1.21 = 54.5454... + 49.5867... = 104.1322...
  expect(found.operatingSavings).toBeCloseTo(104.132231, 6);
  expect(found.netSavings).toBeCloseTo(4.132231, 6);
  // The return's definition: savings reinvested at 10 % make 60 * 1.1 + 60 = 126 of 100 in 2 years.
  expect(found.adjustedReturn).toBeCloseTo(Math.sqrt(1.26) - 1, 12);
  expect(found.simplePaybackYear).toBe(2);
  expect(found.discountedPaybackYear).toBe(2);
});

test("an option that needs no money beyond the base case has no ratio and no return", () => {
  const study: Study = { discountRate: 0.03, years: 1, timing: "end-of-year" };
  const found = compareOptions([flow(0, 10, 0)], [flow(0, 5, 0)], study);
  expect(found).toMatchObject({
    netSavings: 5,
    savingsToInvestment: null,
    adjustedReturn: null,
    discountedPaybackYear: 0,
  });
});

test("savings that never reach the first cost are never paid back", () => {
  const study: Study = { discountRate: 0.03, years: 2, timing: "end-of-year" };
  const found = compareOptions([flow(1, 0, 4), flow(2, 0, 4)], [flow(0, 100, 0)], study);
  expect(found.simplePaybackYear).toBeNull();
  expect(found.discountedPaybackYear).toBeNull();
});

test("a study that ends inside a year brings that year's flows to its own end or middle", () => {
  const end: Study = { discountRate: 0.05, years: 1.5, timing: "end-of-year" };
  expect(discountFactor(end, 1)).toBeCloseTo(1 / 1.05, 12);
  expect(discountFactor(end, 2)).toBeCloseTo(1.05 ** -1.5, 12);
  const middle: Study = { ...end, timing: "mid-year" };
  expect(discountFactor(middle, 1)).toBeCloseTo(1.05 ** -0.5, 12);
  expect(discountFactor(middle, 2)).toBeCloseTo(1.05 ** -1.25, 12);
});

test("what is left at the end counts at the end of the study, also where it falls earlier or later", () => {
  const study: Study = { discountRate: 0.1, years: 2, timing: "mid-year" };
  const left = (year: number): YearFlow => ({ ...flow(year, 0, 0), residual: 121 });
  expect(lifeCycleCost([left(2)], study)).toBeCloseTo(-100, 9);
  expect(lifeCycleCost([left(1)], study)).toBeCloseTo(-110, 9);
  expect(lifeCycleCost([left(5)], study)).toBeCloseTo(-100, 9);
  const found = compareOptions([flow(0, 0, 0)], [flow(0, 200, 0), left(1)], study);
  expect(found.addedInvestment).toBeCloseTo(200 - 110, 9);
  const late = compareOptions([flow(0, 0, 0)], [flow(0, 200, 0), left(5)], study);
  expect(late.addedInvestment).toBeCloseTo(200 - 100, 9);
});

test("a first cost that savings just meet is paid back in that year", () => {
  const study: Study = { discountRate: 0, years: 3, timing: "end-of-year" };
  const base = [1, 2, 3].map((year) => flow(year, 0, 50));
  expect(compareOptions(base, [flow(0, 100, 0)], study).simplePaybackYear).toBe(2);
});

test("an option that costs more to run has a ratio under nothing and no return", () => {
  const study: Study = { discountRate: 0, years: 1, timing: "end-of-year" };
  const found = compareOptions([flow(1, 0, 10)], [flow(0, 100, 0), flow(1, 0, 60)], study);
  expect(found.savingsToInvestment).toBe(-0.5);
  expect(found.adjustedReturn).toBeNull();
  const even = compareOptions([flow(1, 0, 10)], [flow(0, 100, 0), flow(1, 0, 10)], study);
  expect(even).toMatchObject({ savingsToInvestment: 0, adjustedReturn: -1 });
});
