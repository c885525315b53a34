import type { Decision } from "../domain/decision.ts";
import { sentence } from "../words/figure-words.ts";
import { courseNames, ruleText } from "./decision-words.ts";
import { type Block, heading, list, paragraph } from "./document.ts";
import type { MemoInput } from "./memo-input.ts";
import { connectorName, percentText, weeksText } from "./names.ts";

/** Most suspects that the pages before the appendix have room for. */
const mostSteps = 4;

const stepText = (decision: Decision): string =>
  `${sentence(connectorName(decision.place))}: ${courseText(decision)} (${percentText(decision.sure)} sure).${decision.action === "look" ? "" : ` ${ruleText(decision)}`}`;

/** "clean it and read"; "look for the break; if that mends nothing, replace it". */
const courseText = ({ action, ifNoBreak }: Decision): string =>
  ifNoBreak === null
    ? courseNames[action]
    : `${courseNames[action]}; if that mends nothing, ${courseNames[ifNoBreak]}`;

/** What is done anyway, walk after walk: what is recommended, as rules to pin to the wall. */
export function planBlocks({ decisions, costs }: MemoInput): readonly Block[] {
  const weeks = costs.checkWeeks;
  const walks = `walk of readings every ${weeks === 1 ? "week" : weeksText(weeks)}`;
  if (decisions.length === 0)
    return [
      paragraph(
        `No connector is a suspect: nothing to clean or to replace now. Go on with a ${walks}.`,
      ),
    ];
  const more = decisions.length - mostSteps;
  return [
    paragraph(`What is done without any request, and a ${walks}:`),
    list(decisions.slice(0, mostSteps).map((one) => [stepText(one)])),
    ...(more > 0 ? [paragraph(`${more} more in the appendix.`)] : []),
  ];
}

/** Every step of the plan, where the pages before had no room for all. */
export const planInFull = ({ decisions }: MemoInput): readonly Block[] =>
  decisions.length <= mostSteps
    ? []
    : [heading(3, "The plan in full"), list(decisions.map((one) => [stepText(one)]))];
