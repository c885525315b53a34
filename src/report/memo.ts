import type { MemoOption, MemoOptions } from "../decision/memo-options.ts";
import type { Facility } from "../domain/facility.ts";
import { type Block, type Document, heading, type Line, paragraph } from "./document.ts";
import { appendixBlocks } from "./memo-appendix.ts";
import { comparisonBlocks } from "./memo-comparison.ts";
import { type MemoInput, orBlank } from "./memo-input.ts";
import { needBlocks } from "./memo-need.ts";
import { riskBlocks } from "./memo-risks.ts";
import { scheduleBlocks } from "./memo-schedule.ts";
import { connectorName, moneyText } from "./names.ts";
import { assumedLoadNote } from "./unknown-load.ts";

/** The option that costs least. */
export function preferredOption(options: MemoOptions): MemoOption {
  const preferred = options.options.find((one) => one.id === options.preferred);
  if (preferred === undefined) throw new Error(`no option is called ${options.preferred}`);
  return preferred;
}

/** The keep-cleaning option, against which the others are measured. */
export function baseOption(options: MemoOptions): MemoOption {
  const base = options.options.find((one) => one.kind === "keep-cleaning");
  if (base === undefined) throw new Error("the options lack keep cleaning, the base case");
  return base;
}

/**
 * The capital request as a document: request and amount first, then the need, the options compared,
 * risks, schedule; method and data in an appendix that starts on a new page.
 */
export function memoDocument(input: MemoInput): Document {
  const { facility, pool, options } = input;
  const preferred = preferredOption(options);
  const title =
    preferred.kind === "keep-cleaning"
      ? `Timing path of ${pool.name}: no capital needed`
      : `Capital request: timing path of ${pool.name}`;
  return {
    title,
    letterhead: facility.letterhead.map((line) => [line]),
    blocks: [
      headBlock(facility, preferred),
      paragraph(...requestLine(input, preferred)),
      ...assumedLoadNote(pool).map((note) => paragraph({ strong: note })),
      heading(2, "The need"),
      ...needBlocks(input),
      heading(2, "Options compared"),
      ...comparisonBlocks(options),
      heading(2, "Risks and sensitivity"),
      ...riskBlocks(options, facility.risks),
      heading(2, "Schedule"),
      ...scheduleBlocks(facility, preferred),
      { kind: "page-break" },
      heading(2, "Appendix: method and data"),
      ...appendixBlocks(input),
    ],
  };
}

function headBlock(facility: Facility, preferred: MemoOption): Block {
  const optional = (name: string, value: string | null): (readonly [string, Line])[] =>
    value === null ? [] : [[name, [value]]];
  return {
    kind: "fields",
    rows: [
      ["To", [orBlank(facility.to, "to")]],
      ["From", [orBlank(facility.from, "from")]],
      ["Date", [orBlank(facility.date, "date")]],
      ["Subject", [facility.subject ?? preferred.label]],
      ...optional("Reference", facility.reference),
    ],
  };
}

/** The first paragraph: what is asked for, how much, and what it brings. */
function requestLine(input: MemoInput, preferred: MemoOption): Line {
  const { options, facility } = input;
  const money = (amount: number): string => moneyText(amount, options.currency);
  const base = baseOption(options);
  if (preferred.comparison === null)
    return [
      { strong: "No money is asked for. " },
      `Over ${options.horizonYears} years no replacement saves more than it costs: keeping the connectors clean has the lowest life-cycle cost, ${money(base.lifeCycleCost)} in present value.`,
    ];
  const names = preferred.replaced.map(connectorName);
  const listed = names.length <= 4 ? `: ${names.join(", ")}` : ` (listed in the appendix)`;
  const { netSavings, discountedPaybackYear } = preferred.comparison;
  const payback =
    discountedPaybackYear === null
      ? "It does not pay back within that time."
      : `It has paid back, discounted, by the end of year ${discountedPaybackYear}.`;
  return [
    { strong: `We ask for ${money(preferred.request)}` },
    ` to replace ${names.length} ${names.length === 1 ? "connector" : "connectors"} of the timing path${listed}. The money would come from `,
    orBlank(facility.fund, "fund"),
    `; the decision is needed by `,
    orBlank(facility.decisionNeededBy, "date of decision"),
    `. Over ${options.horizonYears} years this costs ${money(preferred.lifeCycleCost)} in present value, against ${money(base.lifeCycleCost)} for cleaning on: `,
    { strong: `net savings of ${money(netSavings)}` },
    `. ${payback}`,
  ];
}
