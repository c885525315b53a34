import { isAccused } from "../domain/findings.ts";
import type { MemoOption } from "../economics/memo-options.ts";
import { hadSomethingToCure } from "../history/cleaning-score.ts";
import { suspects } from "./charts/suspects.ts";
import { type Block, figure, paragraph } from "./document.ts";
import { lostText } from "./memo-comparison.ts";
import type { MemoInput } from "./memo-input.ts";
import { leadFinding } from "./names.ts";

/** Most suspects that the two pages before the appendix have room for. */
const mostSuspects = 4;

/** Why something must be done: what was measured, and what cleaning has done about it so far. */
export function needBlocks({ walk, readings, cleanings, options }: MemoInput): readonly Block[] {
  const read = readings.filter((one) => one.walk === walk.walk);
  const found = walk.connectors.filter(isAccused);
  const [plan] = options.options;
  const lost = plan === undefined ? "" : lanesWords(plan.lostLanes);
  return [
    paragraph(
      `Each lane's touch reaches the timer over a chain of connectors. A fouled one takes volts from it, until the timer no longer sees the touch. The walk of ${walk.walk} (${read.length} readings) found: `,
      { strong: `${leadFinding(walk.connectors)}.` },
      lost,
    ),
    ...(found.length === 0
      ? []
      : [figure(suspects(walk, mostSuspects), "What was found, computed.")]),
    ...cleaningBlocks(cleanings),
  ];
}

/** Lanes lost by the plan: what is left of the need once everything in it is done. */
const lanesWords = ({ firstYear, onAverage }: MemoOption["lostLanes"]): string =>
  ` Under the plan below we expect the timing path to lose ${lostText(firstYear)} lanes in meets in the first year, and ${lostText(onAverage)} a year on average.`;

function cleaningBlocks(cleanings: MemoInput["cleanings"]): readonly Block[] {
  const judged = cleanings.filter((one) => hadSomethingToCure(one) && one.afterOhms !== null);
  if (judged.length === 0)
    return [
      paragraph(
        "No logged cleaning had trouble to cure and a walk on either side, so what cleaning achieves rests on the assumptions in the appendix.",
      ),
    ];
  const cured = judged.filter((one) => one.film >= 0.5).length;
  const held = judged.flatMap((one) =>
    one.heldUntil === "trouble" && one.weeksHeld !== null ? [one.weeksHeld] : [],
  );
  const holding = held.length === 0 ? "" : ` ${holdingWords(held)}`;
  return [
    paragraph(
      `Of ${judged.length} cleanings that can be judged, ${cured} removed the trouble.${holding}`,
    ),
  ];
}

/** How long cleanings held, those that were seen to end. */
function holdingWords(held: readonly number[]): string {
  const mean = held.reduce((sum, weeks) => sum + weeks, 0) / held.length;
  return mean === 0
    ? "Where trouble came back, it was there again at the next walk."
    : `Where trouble came back, it took ${mean.toFixed(1)} weeks on average.`;
}
