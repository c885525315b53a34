import { Resvg } from "@resvg/resvg-js";
import { expect, test } from "vitest";
import { renderPng } from "../../src/cli/render.ts";
import { laneMap } from "../../src/report/charts/lane-map.ts";
import { renderSvg } from "../../src/report/charts/render-svg.ts";
import { textWidth } from "../../src/report/charts/text-width.ts";
import { pool, readings, walk } from "./fixture.ts";

/** Dark dots of a picture: text drawn black on white leaves them, text not drawn leaves none. */
function darkDots(svg: string): number {
  const png = renderPng(svg, 1);
  const check = new Resvg(
    `<svg xmlns="http://www.w3.org/2000/svg" width="${png.width}" height="${png.height}"><image width="${png.width}" height="${png.height}" href="data:image/png;base64,${Buffer.from(png.data).toString("base64")}"/></svg>`,
    { background: "white" },
  ).render().pixels;
  let dark = 0;
  for (let dot = 0; dot < check.length; dot += 4)
    if (check[dot]! < 100 && check[dot + 1]! < 100 && check[dot + 2]! < 100) dark += 1;
  return dark;
}

const drawText = (words: string, weight: string): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="200" height="40"><rect width="200" height="40" fill="white"/><text x="5" y="28" font-family="DejaVu Sans" font-weight="${weight}" font-size="20">${words}</text></svg>`;

test("text is really drawn in the PNG, and bold is bolder", () => {
  const blank = darkDots(drawText("", "normal"));
  const plain = darkDots(drawText("Lane 3 plate", "normal"));
  const bold = darkDots(drawText("Lane 3 plate", "bold"));
  expect(blank).toBe(0);
  expect(plain).toBeGreaterThan(200);
  expect(bold).toBeGreaterThan(plain * 1.3);
});

test("a chart's PNG has its texts: taking them out takes dark dots out", async () => {
  const svg = await renderSvg(laneMap(pool, walk, readings).spec);
  const without = svg.replace(/<text[\s\S]*?<\/text>/g, "");
  expect(darkDots(svg)).toBeGreaterThan(darkDots(without) + 3000);
});

test.each([
  ["normal", "Lane 3 plate connector drops 0.38 V"],
  ["bold", "Lane 3 plate connector drops 0.38 V"],
  ["normal", "probability of being at fault [%]"],
])("widths agree with what resvg draws: %s %s", (weight, words) => {
  const box = new Resvg(
    drawText(words, weight)
      .replace('width="200"', 'width="900"')
      .replace(/<rect.*?\/>/, ""),
    {
      font: {
        fontFiles: ["DejaVuSans.ttf", "DejaVuSans-Bold.ttf"].map(
          (file) => `node_modules/dejavu-fonts-ttf/ttf/${file}`,
        ),
        loadSystemFonts: false,
      },
    },
  ).getBBox();
  // Ink is narrower than advance by the side bearings of the first and last letter.
  const ratio = textWidth(words, 20, weight === "bold") / box!.width;
  expect(ratio).toBeGreaterThan(0.99);
  expect(ratio).toBeLessThan(1.03);
});
