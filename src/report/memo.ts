import type { Facility } from "../domain/facility.ts";
import type { MemoOption, MemoOptions } from "../economics/memo-options.ts";
import { type Block, type Document, heading, type Line, paragraph } from "./document.ts";
import { appendixBlocks } from "./memo-appendix.ts";
import { comparisonBlocks } from "./memo-comparison.ts";
import { type MemoInput, orBlank } from "./memo-input.ts";
import { needBlocks } from "./memo-need.ts";
import { planBlocks } from "./memo-plan.ts";
import { riskBlocks } from "./memo-risks.ts";
import { cautionBlocks, scheduleBlocks } from "./memo-schedule.ts";
import { connectorName, moneyText, percentText } from "./names.ts";
import { assumedLoadNote } from "./unknown-load.ts";

/** The option that money is asked for; null: none beats the plan. */
export const requestedOption = ({ options, requested }: MemoOptions): MemoOption | null =>
  options.find((one) => one.id === requested) ?? null;

/** The plan, against which the others are measured. */
function planOf({ options }: MemoOptions): MemoOption {
  const plan = options.find((one) => one.kind === "plan");
  if (plan === undefined) throw new Error("the options lack the plan, the base of all comparisons");
  return plan;
}

/**
 * The capital request as a document: request and amount first, then the need, the plan, the options
 * compared, risks, schedule; method and data in an appendix that starts on a new page. Where nothing
 * beats the plan nothing is asked for, and the plan is what the memo hands over.
 * Throws where the options lack the plan.
 */
export function memoDocument(input: MemoInput): Document {
  const { facility, pool, options } = input;
  const requested = requestedOption(options);
  const plan = planOf(options);
  const subject =
    requested === null
      ? `Timing path of ${pool.name}: no capital needed`
      : `Capital request: timing path of ${pool.name}`;
  return {
    title: subject,
    letterhead: facility.letterhead.map((line) => [line]),
    blocks: [
      headBlock(facility, requested ?? plan),
      paragraph(...(requested === null ? noRequest(input, plan) : request(input, requested, plan))),
      ...assumedLoadNote(pool).map((note) => paragraph({ strong: note })),
      heading(2, "The need"),
      ...needBlocks(input),
      heading(2, "The plan"),
      ...planBlocks(input),
      heading(2, "Options compared"),
      ...comparisonBlocks(options),
      heading(2, "Risks and sensitivity"),
      ...riskBlocks(options, facility.risks),
      heading(2, "Schedule"),
      ...scheduleBlocks(facility, requested),
      { kind: "page-break" },
      heading(2, "Appendix: method and data"),
      ...cautionBlocks(requested ?? plan),
      ...appendixBlocks(input),
    ],
  };
}

function headBlock(facility: Facility, option: MemoOption): Block {
  const optional = (name: string, value: string | null): (readonly [string, Line])[] =>
    value === null ? [] : [[name, [value]]];
  return {
    kind: "fields",
    rows: [
      ["To", [orBlank(facility.to, "to")]],
      ["From", [orBlank(facility.from, "from")]],
      ["Date", [orBlank(facility.date, "date")]],
      ["Subject", [facility.subject ?? option.label]],
      ...optional("Reference", facility.reference),
    ],
  };
}

const connectors = (count: number): string =>
  `${count} ${count === 1 ? "connector" : "connectors"}`;

/** Nothing is asked for: what the plan costs, and what it buys of its own. */
function noRequest({ options }: MemoInput, plan: MemoOption): Line {
  const money = (amount: number): string => moneyText(amount, options.currency);
  const bought =
    plan.replaced.length === 0
      ? ""
      : ` The plan itself replaces ${connectors(plan.replaced.length)} now, ${money(plan.request)}: ${plan.replaced.map(connectorName).join(", ")}.`;
  return [
    { strong: "No money is asked for." },
    ` Nothing that could be bought beats the plan below, which costs ${money(plan.lifeCycleCost)} in present value over ${options.horizonYears} years.${bought}`,
  ];
}

/** What is asked for, how much, and what it brings. */
function request({ options, facility }: MemoInput, asked: MemoOption, plan: MemoOption): Line {
  const money = (amount: number): string => moneyText(amount, options.currency);
  const names = asked.replaced.map(connectorName);
  const listed = names.length <= 4 ? `: ${names.join(", ")}` : ` (listed in the appendix)`;
  const { netSavings, discountedPaybackYear } = asked.comparison!;
  const payback =
    discountedPaybackYear === null
      ? "It does not pay for itself within that time."
      : discountedPaybackYear === 0
        ? "It pays for itself at once."
        : `It pays for itself in year ${discountedPaybackYear}, discounted.`;
  return [
    { strong: `We ask for ${money(asked.request)}` },
    ` to replace ${connectors(names.length)} of the timing path${listed}. The money would come from `,
    orBlank(facility.fund, "fund"),
    `; the decision is needed by `,
    orBlank(facility.decisionNeededBy, "date of decision"),
    `. Over ${options.horizonYears} years this costs ${money(asked.lifeCycleCost)} in present value, against ${money(plan.lifeCycleCost)} for the plan without it: `,
    { strong: `net savings of ${money(netSavings)}` },
    `, and a chance of ${percentText(asked.chanceSaves ?? 0)} that it saves at all. ${payback}`,
  ];
}
