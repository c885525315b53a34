import { expect, test } from "vitest";
import { optionsCost } from "../../../src/report/charts/options-cost.ts";
import { sensitivity } from "../../../src/report/charts/sensitivity.ts";
import type { Chart } from "../../../src/report/charts/theme.ts";
import { memo } from "../memo-fixture.ts";
import { checkChart } from "./check.ts";

/**
 * The memo's charts as they are seen by who lacks one kind of cone, and by a printer without colour.
 *
 * Matrices: Machado, Oliveira and Fernandes, "A physiologically-based model for simulation of color
 * vision deficiency", 2009, severity 1.0; grey by the luminance of ITU-R BT.709; sRGB by IEC 61966-2-1;
 * lightness by CIE 1976. All from memory.
 */
const grey = [0.2126, 0.7152, 0.0722] as const;
const views = {
  "all cones": [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
  deuteranopia: [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  protanopia: [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  grey: [grey, grey, grey],
} as const;

const linear = (part: number): number =>
  part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;

const dot = (row: readonly number[], of: readonly number[]): number =>
  row.reduce((sum, weight, i) => sum + weight * of[i]!, 0);

/** CIE lightness of `#rrggbb` in a view, 0 to 100. */
function lightness(colour: string, view: keyof typeof views): number {
  const rgb = [1, 3, 5].map((at) => linear(Number.parseInt(colour.slice(at, at + 2), 16) / 255));
  const seen = views[view].map((row) => Math.min(1, Math.max(0, dot(row, rgb))));
  const luminance = dot(grey, seen);
  return luminance > 0.008856 ? 116 * Math.cbrt(luminance) - 16 : 903.3 * luminance;
}

/** The colours of a chart's bars. */
async function fills(chart: Chart): Promise<readonly string[]> {
  const svg = await checkChart(chart);
  const bars = /<g class="mark-rect[^"]*"[^>]*>.*?<\/g>/gs;
  const inside = [...svg.matchAll(bars)].map(([all]) => all).join("");
  return [...new Set([...inside.matchAll(/fill="(#[0-9a-f]{6})"/gi)].map((found) => found[1]!))];
}

test("white is lightest and black darkest in every view", () => {
  for (const view of Object.keys(views) as (keyof typeof views)[]) {
    expect(lightness("#ffffff", view)).toBeCloseTo(100, 0);
    expect(lightness("#000000", view)).toBe(0);
  }
  // Two colours of one lightness to all cones, red and green, differ to who lacks one of them.
  expect(lightness("#d03030", "protanopia")).toBeLessThan(lightness("#d03030", "all cones") - 8);
});

/** Ten steps of lightness is the project's own rule: about ten times what is just seen side by side. */
test("no two kinds of bar have one lightness, whoever looks, on whatever printer", async () => {
  const kinds = [
    [optionsCost(memo), 4],
    [sensitivity(memo), 2],
  ] as const;
  for (const [chart, count] of kinds) {
    const colours = await fills(chart);
    expect(colours, chart.name).toHaveLength(count);
    for (const view of Object.keys(views) as (keyof typeof views)[]) {
      const seen = colours.map((colour) => lightness(colour, view)).toSorted((a, b) => a - b);
      const steps = seen.slice(1).map((one, i) => one - seen[i]!);
      expect(Math.min(...steps), `${chart.name}, ${view}`).toBeGreaterThan(10);
    }
  }
});

test("a title never ends a line between lane and its number", () => {
  const { spec } = sensitivity({
    ...memo,
    sensitivity: memo.sensitivity.map((one) => ({
      ...one,
      assumption: "price of what is lost at the harness of lanes 1 to 4 and of lane 6 by a touch",
    })),
  });
  const { text } = spec["title"] as { readonly text: readonly string[] };
  expect(text.length).toBeGreaterThan(1);
  expect(text.filter((line) => /\blanes?$/.test(line))).toEqual([]);
});
