import { rightToLeft } from "../../words/place-words.ts";

/**
 * One look for every chart: it must survive a black-and-white printer and a reader who does not
 * tell red from green. So nothing is said by colour alone (shape, dash or a word says it too), and
 * the few colours used differ in lightness. They are from the Okabe-Ito palette, made for
 * colour-blind readers (Okabe and Ito, "Color universal design", 2008).
 */
export const ink = {
  text: "#1a1a1a",
  quiet: "#6b6b6b",
  grid: "#dddddd",
  sound: "#0072b2",
  weak: "#d55e00",
  band: "#9ecae1",
  paper: "#ffffff",
} as const;

/** Fonts that resvg is given as files; a browser without them takes its own. */
export const fontFamily = "DejaVu Sans, Verdana, Arial, sans-serif";

/**
 * A Vega-Lite specification, ready to compile. Plain data: it prints as JSON. Said in our own words, so
 * that who takes a chart needs no types but ours.
 */
export interface ChartSpec {
  readonly $schema: string;
  readonly [part: string]: unknown;
}

/** A chart as the rest of the program hands it about. */
export interface Chart {
  /** File name without ending, and id in a page: letters, digits and dashes. */
  readonly name: string;
  /** What the chart found, one line: its title. */
  readonly finding: string;
  /** The same and a little more, for who does not see it. */
  readonly alt: string;
  readonly spec: ChartSpec;
}

const config = {
  font: fontFamily,
  background: ink.paper,
  view: { stroke: null },
  axis: {
    labelColor: ink.text,
    titleColor: ink.text,
    gridColor: ink.grid,
    domainColor: ink.quiet,
    tickColor: ink.quiet,
    labelFontSize: 11,
    titleFontSize: 11,
    titleFontWeight: "normal",
    labelLimit: 260,
  },
  header: { labelFontSize: 11, labelColor: ink.text, titleFontSize: 11, labelFontWeight: "bold" },
  legend: { labelFontSize: 11, titleFontSize: 11, labelColor: ink.text, titleFontWeight: "normal" },
  title: {
    anchor: "start",
    fontSize: 14,
    color: ink.text,
    subtitleColor: ink.quiet,
    subtitleFontSize: 11,
    offset: 12,
  },
  text: { font: fontFamily, color: ink.text, fontSize: 11 },
} as const;

const schema = "https://vega.github.io/schema/vega-lite/v6.json";

/** Blanks where a line may break: not between a number and its unit, nor before a lane's number. */
const breakable = /(?<!\blanes?) (?![VΩ%](?:\W|$))/;

/**
 * Words that a title of this many characters would push past the chart are put on a new line. Lines of
 * one title are one text to who draws it: names written from right to left at the end of a line and
 * the beginning of the next would be turned round together, but for a left-to-right mark (Unicode
 * Standard Annex 9) between them.
 */
function wrap(text: string, width: number): string[] {
  const lines: string[] = [];
  for (const word of text.split(breakable)) {
    const last = lines.at(-1);
    if (last === undefined || last.length + 1 + word.length > width) lines.push(word);
    else lines[lines.length - 1] = `${last} ${word}`;
  }
  return lines.map((line) => (rightToLeft.test(line) ? `\u200e${line}\u200e` : line));
}

/**
 * Puts the frame round a drawing: schema, theme, title that says the finding, alternative text.
 *
 * @param drawing the specification without its frame
 * @param titleWidth characters to a line of the title
 */
export function chart(
  name: string,
  words: { readonly finding: string; readonly subtitle: string; readonly alt: string },
  drawing: object,
  titleWidth = 72,
): Chart {
  const spec = {
    $schema: schema,
    description: words.alt,
    title: {
      text: wrap(words.finding, titleWidth),
      subtitle: wrap(words.subtitle, titleWidth + 18),
    },
    config,
    padding: 8,
    ...drawing,
  };
  return { name, finding: words.finding, alt: words.alt, spec: spec as unknown as ChartSpec };
}
