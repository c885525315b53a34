import type { LearntNumber, PoolProposal } from "../learning/learn-pool.ts";
import type { RankingChange } from "../learning/ranking-change.ts";
import { sentence } from "../words/figure-words.ts";
import { connectorName, counted, percentText } from "./names.ts";
import { prose } from "./wrap-text.ts";

/** Three figures: 0.0123, 61.2. */
const figures = (value: number): string => `${Number(value.toPrecision(3))}`;

const unitText = ({ unit }: LearntNumber): string =>
  unit === "" ? "" : unit === "ohm" ? " Ω" : " V";

/** A number whose interval holds what the file says stands as well as any other. */
function numberLine(number: LearntNumber): string {
  const { key, now, proposed, low, high } = number;
  const range = `(90 %: ${figures(low)} to ${figures(high)})`;
  const word = now >= low && now <= high ? "may stand" : `${figures(proposed)}${unitText(number)}`;
  return `  ${key}: ${figures(now)}${unitText(number)} now; ${word} ${range}.`;
}

const changeLine = ({ connector, now, proposed }: RankingChange): string =>
  `  ${sentence(connectorName(connector))}: at fault ${percentText(now)} now, ${percentText(proposed)} then.`;

/** What a pool's own walks say of its file's numbers: a proposal, for a person to accept. */
export function learnText(
  pool: string,
  proposal: PoolProposal,
  walk: string,
  changes: readonly RankingChange[],
): string {
  const lines = [
    `${pool}: what ${counted(proposal.walks, "walk")} say of the pool file's numbers.`,
    "",
    ...proposal.numbers.map(numberLine),
    "",
    changes.length === 0
      ? `With them, walk ${walk} by itself would be judged as it is.`
      : `With them, walk ${walk} by itself would be judged otherwise:`,
    ...changes.map(changeLine),
    "",
    "This is a proposal: nothing was changed. Write into the pool file what you accept.",
  ];
  return `${prose(lines).join("\n")}\n`;
}
