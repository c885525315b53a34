import type { Costs } from "../domain/costs.ts";
import type { MemoOption } from "../economics/memo-options.ts";
import { isCalledOpen, sentence } from "../words/figure-words.ts";
import { cleaningEffect } from "./charts/cleaning-effect.ts";
import { laneMap } from "./charts/lane-map.ts";
import { assumptionText } from "./charts/sensitivity.ts";
import { type Block, column, figure, heading, list, paragraph, table } from "./document.ts";
import { comparisonTable, mainOptions, measuresText } from "./memo-comparison.ts";
import type { MemoInput } from "./memo-input.ts";
import { planInFull } from "./memo-plan.ts";
import { amountText, connectorName, currencyUnit, ohmsText, percentText } from "./names.ts";
import { methodBlocks } from "./report-method.ts";

/** Method and data: everything that the two pages before rest on. */
export function appendixBlocks(input: MemoInput): readonly Block[] {
  const { pool, walk, readings, options, costs, cleanings } = input;
  const read = readings.filter((one) => one.walk === walk.walk);
  const shown = mainOptions(options);
  const judged = cleanings.filter((one) => one.beforeOhms !== null && one.afterOhms !== null);
  return [
    heading(3, "How the options are compared"),
    paragraph(
      `Life-cycle cost is the present value of all that an option costs in ${options.horizonYears} years (ASTM E917): replacements, cleaning labour, and lanes expected to be lost in meets. Net savings (E1074), savings-to-investment ratio (E964), adjusted internal rate of return (E1057) and discounted payback compare it with the plan: what is recommended now, walk after walk, followed by its own rules through what readings are expected to show; definitions as in NIST Handbook 135. Flows of a year are discounted from its end at ${(100 * options.discountRate).toFixed(1)} % real; those of year 0 are not discounted.`,
    ),
    paragraph(measuresText),
    ...(shown.length < options.options.length ? [comparisonTable(options, options.options)] : []),
    ...assumptionBlocks(costs, input),
    ...planInFull(input),
    ...shown.map((one) => cashFlowTable(one, options.currency)),
    ...shown
      .filter((one) => one.replaced.length > 0)
      .map((one) =>
        paragraph({ strong: `${one.label}: ` }, `${one.replaced.map(connectorName).join(", ")}.`),
      ),
    heading(3, "What was measured"),
    figure(laneMap(pool, walk, read), "Volts at each point of each lane."),
    suspectTable(input),
    ...(judged.length === 0
      ? []
      : [figure(cleaningEffect(judged), "Cleanings with a walk on either side.", 0.9)]),
    heading(3, "How faults are told from readings"),
    ...methodBlocks(pool, walk, read),
  ];
}

function assumptionBlocks(costs: Costs, { options, pool }: MemoInput): readonly Block[] {
  const text = (value: number, unit: string): string =>
    assumptionText(value, unit, options.currency);
  const unit = currencyUnit(options.currency);
  return [
    table(
      "Assumptions and the ranges they were moved through, one at a time",
      [column("Assumption", 3), column("Taken as", 2), column("Range", 3)],
      options.sensitivity.map((one) => [
        sentence(one.assumption),
        text(one.base, one.unit),
        `${text(one.low.value, one.unit)} to ${text(one.high.value, one.unit)}`,
      ]),
    ),
    table(
      "Connectors",
      [
        column("Connector", 3),
        column(`Part [${unit}]`, 2, "right"),
        column("Cleaning [min]", 2, "right"),
        column("Replacing [min]", 2, "right"),
        column("Life [years]", 2, "right"),
      ],
      pool.points.flatMap((point) => {
        const one = costs.connectors[point];
        const kind = pool.connectors.find((each) => each.point === point);
        if (one === undefined || kind === undefined) return [];
        const { part, cleanMinutes, replaceMinutes, lifeYears } = one;
        return [[kind.name, ...[part, cleanMinutes, replaceMinutes, lifeYears].map(String)]];
      }),
    ),
  ];
}

function cashFlowTable(option: MemoOption, currency: string): Block {
  return table(
    `Cash flow: ${option.label}, before discounting [${currencyUnit(currency)}]`,
    [
      column("Year", 1, "right"),
      column("Replacing", 2, "right"),
      column("Later replacements", 2, "right"),
      column("Cleaning", 2, "right"),
      column("Lost lanes", 2, "right"),
      column("Total", 2, "right"),
    ],
    option.cashFlow.map((one) => [
      String(+one.year.toFixed(2)),
      ...[one.replacing, one.renewing, one.cleaning, one.lostLanes, one.total].map(amountText),
    ]),
  );
}

function suspectTable({ walk }: MemoInput): Block {
  const shown = walk.connectors.filter((one) => one.atFault >= 0.05);
  if (shown.length === 0)
    return list([["No connector is at fault with a probability of 5 % or more."]]);
  return table(
    `Connectors at fault with a probability of 5 % or more, walk ${walk.walk}`,
    [
      column("Connector", 4),
      column("At fault", 2, "right"),
      column("Worst contact", 2, "right"),
      column("90 %", 3, "right"),
      column("Lost [V]", 2, "right"),
    ],
    shown.map((one) => [
      sentence(connectorName(one)),
      percentText(one.atFault),
      ohmsText(one.worst.ohms.median),
      isCalledOpen(one.worst.ohms.low)
        ? "–"
        : `${ohmsText(one.worst.ohms.low)} to ${ohmsText(one.worst.ohms.high)}`,
      one.voltsLost.toFixed(2),
    ]),
  );
}
