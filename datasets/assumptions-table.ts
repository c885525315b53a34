import {
  assumed,
  assumedCheckWeeks,
  assumedCosts,
  assumedLookMinutes,
  linkFigures,
} from "../src/domain/assumed.ts";
import { assumedAgeing } from "../src/domain/assumed-ageing.ts";
import { connectorRanges } from "../src/domain/assumed-connectors.ts";
import type { Assumed, AssumedRange } from "../src/domain/assumed-figure.ts";
import { assumedMeet } from "../src/domain/assumed-meet.ts";

/** The whole record of assumptions, by what it is about. */
export const record: Readonly<Record<string, readonly (Assumed | AssumedRange)[]>> = {
  "The model of a walk": [...Object.values(assumed), ...Object.values(linkFigures)],
  "From walk to walk": Object.values(assumedAgeing),
  "Money and time": [...Object.values(assumedCosts), assumedCheckWeeks, assumedLookMinutes],
  "A connector's keeping (value of one that a lane shares; range in multiples)":
    Object.values(connectorRanges),
  "The deck day": Object.values(assumedMeet),
};

const figures = (value: number): string => String(Number(value.toPrecision(4)));

const row = (one: Assumed | AssumedRange): string => {
  const range = "low" in one ? `${figures(one.low)} to ${figures(one.high)}` : "";
  const cells = [`\`${one.key}\``, figures(one.value), one.unit, range, one.meaning, one.source];
  return `| ${cells.join(" | ")} |`;
};

/** Every default with key, value, unit, range, meaning and source, as Markdown. */
export const assumptionsTable = (): string => {
  const head = ["key", "value", "unit", "range", "meaning", "source"].join(" | ");
  const sections = Object.entries(record).map(
    ([title, rows]) =>
      `## ${title}\n\n| ${head} |\n| --- | ---: | --- | --- | --- | --- |\n${rows.map(row).join("\n")}\n`,
  );
  return [
    "# What stands where a facility has said nothing",
    "Written by `npm run schema` from `src/domain/assumed*.ts`. A link's own priors go by its class.\n",
    ...sections,
  ].join("\n\n");
};
