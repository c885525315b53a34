import { parse, type Spec, View } from "vega";
import { compile, type TopLevelSpec } from "vega-lite";
import { escapeHtml } from "../escape-html.ts";
import { useFontWidths } from "./text-width.ts";
import type { ChartSpec } from "./theme.ts";

/** What the compiler had to say about a specification, besides compiling it. */
export interface Compiled {
  /** A Vega specification; an object, so that who asks for a drawing needs no types but ours. */
  readonly vega: object;
  readonly warnings: readonly string[];
}

/** Vega-Lite to Vega. Warnings are collected, not printed: a chart of ours should have none. */
export function compileChart(spec: ChartSpec): Compiled {
  const warnings: string[] = [];
  const logger = {
    level: () => logger,
    error: (...words: unknown[]) => note(words),
    warn: (...words: unknown[]) => note(words),
    info: () => logger,
    debug: () => logger,
  };
  function note(words: readonly unknown[]): typeof logger {
    warnings.push(words.map(String).join(" "));
    return logger;
  }
  const { spec: vega } = compile(spec as unknown as TopLevelSpec, { logger: logger as never });
  return { vega, warnings };
}

/** A title's or description's text: lines are joined. */
const textOf = (value: unknown): string =>
  escapeHtml(Array.isArray(value) ? value.join(" ") : String(value ?? ""));

/** Who does not see a drawing hears its title and what it shows (SVG 1.1, section 5.4). */
export function withWords(svg: string, { title, description }: ChartSpec): string {
  const said = `<title>${textOf((title as { text?: unknown } | undefined)?.text)}</title><desc>${textOf(description)}</desc>`;
  return svg.replace(/^(<svg[^>]*)>/, (_, opening: string) => `${opening} role="img">${said}`);
}

/** Size that a drawing says it has [px at 96 to the inch]. */
export function sizeOf(svg: string): { readonly width: number; readonly height: number } {
  const size = (name: string): number =>
    Number(new RegExp(`<svg[^>]* ${name}="([\\d.]+)"`).exec(svg)?.[1] ?? 0);
  return { width: size("width"), height: size("height") };
}

/** Draws a chart as SVG text. Text is measured by rule of thumb where there is no canvas. */
export const renderSvg = async (spec: ChartSpec): Promise<string> => (await renderBoth(spec)).svg;

/** The same, and what a page draws live: the compiled specification as JSON. */
export async function renderBoth(
  spec: ChartSpec,
): Promise<{ readonly svg: string; readonly live: string }> {
  useFontWidths();
  const { vega } = compileChart(spec);
  const live = JSON.stringify(vega);
  const view = new View(parse(vega as Spec), { renderer: "none" });
  try {
    return { svg: withWords(await view.toSVG(), spec), live };
  } finally {
    view.finalize();
  }
}
