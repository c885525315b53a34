import type { CleaningScore } from "../../history/cleaning-record.ts";
import { hadSomethingToCure } from "../../history/cleaning-score.ts";
import { circuitText, ohmsText, percentText } from "../names.ts";
import { type Chart, chart, ink } from "./theme.ts";

const floorOhms = 0.05;
const ceilingOhms = 10_000;
const drawn = (value: number): number => Math.min(Math.max(value, floorOhms), ceilingOhms);

/** Before and after each cleaning that walks on both sides can judge, oldest first. */
export function cleaningEffect(cleanings: readonly CleaningScore[]): Chart {
  const rows = cleanings.flatMap((one) => {
    if (one.beforeOhms === null || one.afterOhms === null) return [];
    return [
      {
        name: `${one.date}, ${circuitText(one)} ${one.point}`,
        before: drawn(one.beforeOhms.median),
        after: drawn(one.afterOhms.median),
        verdict: `${ohmsText(one.beforeOhms.median)} to ${ohmsText(one.afterOhms.median)}; ${
          !hadSomethingToCure(one) ? "nothing to cure" : `film ${percentText(one.film)}`
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
      "Circle: last walk before; dot: first walk after; “film” is the probability that the trouble was film, which cleaning cures",
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
    axis: { values: [0.1, 1, 10, 100, 1000, 10000], format: ",.1~f" },
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
