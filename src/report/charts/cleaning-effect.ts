import type { CleaningScore } from "../../history/cleaning-record.ts";
import { hadSomethingToCure } from "../../history/cleaning-score.ts";
import { circuitText, ohmsText, percentText } from "../names.ts";
import { ceilingOhms, drawnOhms, floorOhms, ohmsTicks } from "./ohms-scale.ts";
import { type Chart, chart, ink } from "./theme.ts";

/** Before and after each cleaning that walks on both sides can judge, oldest first. */
export function cleaningEffect(cleanings: readonly CleaningScore[]): Chart {
  const rows = cleanings.flatMap((one) => {
    if (one.beforeOhms === null || one.afterOhms === null) return [];
    return [
      {
        name: `${one.date}, ${circuitText(one)} ${one.point}`,
        before: drawnOhms(one.beforeOhms.median),
        after: drawnOhms(one.afterOhms.median),
        verdict: `${ohmsText(one.beforeOhms.median)} to ${ohmsText(one.afterOhms.median)}; ${
          !hadSomethingToCure(one)
            ? "nothing to cure"
            : `${one.film >= 0.5 ? "removed" : "still there"} (film ${percentText(one.film)})`
        }`,
        judged: hadSomethingToCure(one),
        cured: hadSomethingToCure(one) && one.film >= 0.5,
      },
    ];
  });
  const judged = rows.filter((one) => one.judged);
  const cured = judged.filter((one) => one.cured).length;
  const finding =
    judged.length === 0
      ? "No cleaning had trouble to cure and a walk on either side"
      : `${cured} of ${judged.length} cleanings removed what was there`;
  const words = {
    finding,
    subtitle:
      "Computed from the readings. Circle: last walk before; dot: first walk after. Film: how likely the trouble was film, which cleaning removes",
    alt: `Contact resistance before and after ${rows.length} cleanings. ${finding}.`,
  };
  return chart("cleanings", words, {
    data: { values: rows },
    width: 330,
    height: { step: 26 },
    layer: layers(rows.map((one) => one.name)),
  });
}

function layers(names: readonly string[]): object[] {
  const y = {
    field: "name",
    type: "nominal",
    sort: names,
    title: null,
    axis: { domain: false, ticks: false, labelLimit: 320 },
  };
  const x = (field: string) => ({
    field,
    type: "quantitative",
    title: "contact resistance [Ω], log scale",
    scale: { type: "log", domain: [floorOhms, ceilingOhms] },
    axis: ohmsTicks,
  });
  return [
    {
      mark: { type: "rule", color: ink.quiet, strokeWidth: 1.5 },
      encoding: { x: x("before"), x2: { field: "after" }, y },
    },
    {
      mark: {
        type: "point",
        filled: false,
        color: ink.text,
        size: 60,
        strokeWidth: 2,
        fill: ink.paper,
        opacity: 1,
      },
      encoding: { x: x("before"), y, tooltip: [{ field: "name" }, { field: "verdict" }] },
    },
    {
      mark: { type: "point", filled: true, color: ink.text, size: 60, opacity: 1 },
      encoding: { x: x("after"), y, tooltip: [{ field: "name" }, { field: "verdict" }] },
    },
    {
      mark: { type: "text", align: "left", fontSize: 10 },
      encoding: { x: { value: 340 }, y, text: { field: "verdict", type: "nominal" } },
    },
  ];
}
