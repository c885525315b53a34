import { existsSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { Resvg } from "@resvg/resvg-js";

const require = createRequire(import.meta.url);

/** Both faces: with the regular one alone, bold text is drawn thin. Only `.ttf` draws at all. */
export const fontFiles = ["DejaVuSans.ttf", "DejaVuSans-Bold.ttf"].map((file) => {
  // The built command carries them along.
  const beside = join(import.meta.dirname, "fonts", file);
  return existsSync(beside) ? beside : require.resolve(`dejavu-fonts-ttf/ttf/${file}`);
});

/** A picture made of dots, with the size in dots. */
export interface Picture {
  readonly data: Uint8Array;
  readonly width: number;
  readonly height: number;
}

/**
 * Letters that the shipped fonts don't have: outside of these scripts, and pictures among letters. Only
 * for them the system's own fonts are looked through, so that a picture is else the same everywhere.
 */
const needsMore =
  /(?!\p{Script=Latin}|\p{Script=Greek}|\p{Script=Cyrillic}|\p{Script=Arabic})\p{L}|\p{Emoji_Presentation}/u;

export const needsSystemFonts = (svg: string): boolean => needsMore.test(svg);

/** Draws an SVG as PNG, `scale` dots to a unit, with the fonts that ship with the package. */
export function renderPng(svg: string, scale = 2): Picture {
  const image = new Resvg(svg, {
    fitTo: { mode: "zoom", value: scale },
    font: { fontFiles, loadSystemFonts: needsSystemFonts(svg), defaultFontFamily: "DejaVu Sans" },
  }).render();
  return { data: image.asPng(), width: image.width, height: image.height };
}
