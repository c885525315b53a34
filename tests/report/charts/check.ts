import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { Ajv, type ValidateFunction } from "ajv";
import addFormatsModule from "ajv-formats";
import { expect, vi } from "vitest";
import { compileChart, renderSvg } from "../../../src/report/charts/render-svg.ts";
import type { Chart } from "../../../src/report/charts/theme.ts";

// The schema is 1.9 MB and takes seconds to compile, on a busy machine many.
vi.setConfig({ testTimeout: 300_000 });

const schemaFile = createRequire(import.meta.url).resolve("vega-lite/vega-lite-schema.json");
let validator: ValidateFunction | undefined;

/** Vega-Lite's own published JSON schema (version 6.4.3), as its package carries it. */
function validate(): ValidateFunction {
  if (validator === undefined) {
    const ajv = new Ajv({ strict: false, allowUnionTypes: true });
    ajv.addFormat("color-hex", true);
    // CommonJS seen from ESM: the function is the module's `default`.
    (addFormatsModule as unknown as { default: (ajv: Ajv) => void }).default(ajv);
    validator = ajv.compile(JSON.parse(readFileSync(schemaFile, "utf8")));
  }
  return validator;
}

/** Every visible text of an SVG, entities undone. */
export function texts(svg: string): string[] {
  return [...svg.matchAll(/<text[^>]*>([\s\S]*?)<\/text>/g)].map((match) =>
    (match[1] ?? "")
      .replace(/<[^>]+>/g, " ")
      .replaceAll("&lt;", "<")
      .replaceAll("&gt;", ">")
      .replaceAll("&amp;", "&"),
  );
}

/** How many marks of one kind were drawn: `mark-rect`, `mark-symbol`, `mark-line`, `mark-rule`. */
export function marks(svg: string, kind: string): number {
  return [
    ...svg.matchAll(
      new RegExp(`<g class="${kind} role-mark[^"]*"[^>]*(?<!/)>([\\s\\S]*?)</g>`, "g"),
    ),
  ]
    .map((match) => (match[1] ?? "").match(/<(path|line|text|image)[ >]/g)?.length ?? 0)
    .reduce((sum, count) => sum + count, 0);
}

/** What every chart must pass; returns its drawing for the checks of its own. */
export async function checkChart(chart: Chart): Promise<string> {
  const spec = JSON.parse(JSON.stringify(chart.spec));
  const valid = validate()(spec);
  expect(validate().errors ?? []).toEqual([]);
  expect(valid).toBe(true);
  expect(compileChart(chart.spec).warnings).toEqual([]);
  expect(chart.name).toMatch(/^[a-z0-9-]+$/);
  expect(spec.description).toBe(chart.alt);
  expect(chart.alt).toContain(chart.finding);
  const svg = await renderSvg(chart.spec);
  expect(svg).toMatch(/^<svg[^>]*><title>[^<]+<\/title><desc>[^<]+<\/desc>/);
  const drawn = texts(svg);
  expect(drawn.length).toBeGreaterThan(3);
  // The title is drawn whole, in one line or several.
  const words = drawn.join(" ").replace(/\s+/g, " ");
  for (const word of chart.finding.split(/\s+/)) expect(words).toContain(word);
  expect(drawn.filter((text) => /null|undefined|NaN/.test(text))).toEqual([]);
  // Every quantitative axis names its unit: a title with a bracket.
  expect(axesWithoutUnit(spec)).toEqual([]);
  return svg;
}

/** Titles of quantitative positions that carry no `[unit]`. */
function axesWithoutUnit(node: unknown): string[] {
  if (Array.isArray(node)) return node.flatMap(axesWithoutUnit);
  if (node === null || typeof node !== "object") return [];
  const own: string[] = [];
  for (const [channel, value] of Object.entries(node)) {
    const definition = value as { type?: string; title?: string | null; axis?: unknown } | null;
    const isAxis = (channel === "x" || channel === "y") && typeof definition === "object";
    if (isAxis && definition?.type === "quantitative" && definition.axis !== null)
      if (!/\[.+\]/.test(definition.title ?? "")) own.push(`${channel}: ${definition.title}`);
    own.push(...axesWithoutUnit(value));
  }
  return own;
}
