import * as vega from "vega";

/**
 * Advance widths of DejaVu Sans in thousandths of the font size, characters 32 to 126, read from
 * the font's own `hmtx` table (version 2.37). Without a canvas the chart engine guesses 0.8 of the
 * font size for every character, a third too much: labels were cut and panels pushed apart.
 */
const regular = [
  318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337, 636, 636, 636,
  636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632,
  575, 775, 752, 295, 295, 656, 557, 863, 748, 787, 603, 787, 695, 635, 611, 732, 684, 989, 685,
  611, 685, 390, 337, 390, 838, 500, 500, 613, 635, 550, 635, 615, 352, 635, 634, 278, 278, 579,
  278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636, 337, 636, 838,
];
const bold = [
  348, 456, 521, 838, 696, 1002, 872, 306, 457, 457, 523, 838, 380, 415, 380, 365, 696, 696, 696,
  696, 696, 696, 696, 696, 696, 696, 400, 400, 838, 838, 838, 580, 1000, 774, 762, 734, 830, 683,
  683, 821, 837, 372, 372, 775, 637, 995, 837, 850, 733, 850, 770, 720, 682, 812, 774, 1103, 771,
  724, 725, 457, 365, 457, 838, 500, 500, 675, 716, 593, 716, 678, 435, 716, 712, 343, 343, 665,
  343, 1042, 712, 687, 716, 716, 493, 595, 478, 712, 652, 924, 645, 652, 582, 712, 365, 712, 838,
];
/** What a character outside the table is taken to be wide: accented letters, Greek, signs. */
const otherWidth = 650;

/** A text mark, as far as its width goes. */
interface TextItem {
  readonly fontSize?: number;
  readonly fontWeight?: string | number;
  /** Longest that the text may be drawn; it is cut there [px]. */
  readonly limit?: number;
}

/** Width of a text in DejaVu Sans [px]. */
export function textWidth(text: string, fontSize: number, isBold: boolean): number {
  const table = isBold ? bold : regular;
  const units = [...text].reduce(
    (sum, character) => sum + (table[(character.codePointAt(0) ?? 0) - 32] ?? otherWidth),
    0,
  );
  return (units * fontSize) / 1000;
}

interface TextMetrics {
  width: (item: TextItem, text: string) => number;
  readonly estimateWidth: (item: TextItem, text: string) => number;
}

/** Gives the chart engine these widths, unless it has a canvas to measure on. */
export function useFontWidths(): void {
  const { textMetrics } = vega as unknown as { textMetrics: TextMetrics };
  if (textMetrics.width !== textMetrics.estimateWidth) return;
  textMetrics.width = (item, text) => {
    const heavy = item.fontWeight === "bold" || Number(item.fontWeight) >= 600;
    const width = textWidth(String(text ?? "").trim(), item.fontSize ?? 11, heavy);
    return item.limit !== undefined && item.limit > 0 ? Math.min(width, item.limit) : width;
  };
}
