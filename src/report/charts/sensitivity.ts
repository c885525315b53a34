import type { MemoOptions, SensitivityRow } from "../../economics/memo-options.ts";
import { counted, currencyUnit, moneyText } from "../names.ts";
import { leastCost } from "./options-cost.ts";
import { textWidth } from "./text-width.ts";
import { type Chart, chart, ink } from "./theme.ts";

const measure = "net savings";

/** An assumption's value as the reader knows it: `2 %`, `40 EUR/h`, `x 0.5`. */
export function assumptionText(value: number, unit: string, currency: string): string {
  if (unit === "times") return `× ${value}`;
  if (unit === "per year" && Math.abs(value) < 1) return `${+(100 * value).toFixed(2)} % a year`;
  const plain = String(+value.toPrecision(3));
  const words = unit
    .replace("currency", currencyUnit(currency))
    .replace("lost_lane", "a lost lane");
  return `${plain} ${plain === "1" ? words.replace(/^(week|year)s$/, "$1") : words}`;
}

/**
 * Where the label of one end stands: beyond its bar. Where both ends lie on the same side of the
 * base, the shorter bar's label goes to the other side, or the two would be printed over each other.
 */
function labelPlace(
  value: number,
  other: number,
  base: number,
): { readonly labelAt: number; readonly side: "left" | "right" } {
  const side = value < base ? "left" : "right";
  const hidden =
    (value < base ? other < base : other > base) && Math.abs(value - base) < Math.abs(other - base);
  return hidden
    ? { labelAt: base, side: side === "left" ? "right" : "left" }
    : { labelAt: value, side };
}

/** The assumptions to draw: those that change the ranking first, then the widest; widest on top. */
function drawnRows(ranked: readonly SensitivityRow[], most: number): readonly SensitivityRow[] {
  const turning = ranked.filter((one) => one.changesRanking);
  const others = ranked.filter((one) => !one.changesRanking);
  const kept = new Set([...turning, ...others].slice(0, most));
  return ranked.filter((one) => kept.has(one));
}

/** `the high end of price of parts`, `either end of labour`; none where the cheapest stays so. */
function turningEnds(
  { assumption, low, high, changesRanking }: SensitivityRow,
  least: string | undefined,
): readonly string[] {
  if (!changesRanking) return [];
  const isBoth = low.best !== least && high.best !== least;
  const which = isBoth ? "either" : high.best !== least ? "the high" : "the low";
  return [`${which} end of ${assumption}`];
}

/**
 * Sensitivity of the best other option's net savings, one assumption at a time, widest on top.
 *
 * @param most assumptions that are drawn; the title is about all
 */
export function sensitivity(memo: MemoOptions, most = memo.sensitivity.length): Chart {
  const { currency } = memo;
  const least = leastCost(memo);
  const followed = memo.options.find((one) => one.id === memo.followed);
  const base = followed?.comparison?.netSavings ?? 0;
  const width = (one: SensitivityRow): number => Math.abs(one.high.netSavings - one.low.netSavings);
  const ranked = memo.sensitivity.toSorted((a, b) => width(b) - width(a));
  const turning = ranked.flatMap((one) => turningEnds(one, least?.id));
  const widest = ranked[0];
  const finding =
    widest === undefined
      ? "No assumption was varied"
      : turning.length === 0
        ? `${least?.label} stays cheapest whichever single assumption moves; ${widest.assumption} matters most`
        : `Another option is cheapest at ${turning.join(", or at ")}`;
  const words = {
    finding,
    subtitle: `Net savings of “${followed?.label}” against the plan, computed: ${moneyText(base, currency)} as assumed; each bar moves one assumption through its range. Dark: low end; light: high end`,
    alt: `Sensitivity of net savings, base ${moneyText(base, currency)}: ${ranked
      .slice(0, 4)
      .map(
        (one) =>
          `${one.assumption} ${moneyText(one.low.netSavings, currency)} to ${moneyText(one.high.netSavings, currency)}`,
      )
      .join("; ")}. ${finding}.`,
  };
  const drawn = drawnRows(ranked, most);
  const left = ranked.length - drawn.length;
  const rows = drawn.flatMap((one) =>
    (["low", "high"] as const).map((end) => ({
      assumption: one.assumption,
      end,
      ...labelPlace(one[end].netSavings, one[end === "low" ? "high" : "low"].netSavings, base),
      text: `${assumptionText(one[end].value, one.unit, currency)}${one[end].best === least?.id ? "" : " ◆"}`,
      value: one[end].netSavings,
      base,
    })),
  );
  const note =
    (turning.length === 0 ? "" : ". ◆ another option is cheapest there") +
    (left === 0 ? "" : `. ${counted(left, "assumption")} that matter less are not drawn`);
  return chart(
    "sensitivity",
    { ...words, subtitle: words.subtitle + note },
    {
      data: { values: rows },
      width: 440,
      height: { step: 30 },
      layer: layers(
        drawn.map((one) => one.assumption),
        currencyUnit(currency),
        Math.max(...rows.map(({ text }) => textWidth(text, labelSize, false))) + 12,
      ),
    },
  );
}

/** Size of the words at a bar's ends [px]. */
const labelSize = 10;

/** @param room beside the longest bar, for its label [px] */
function layers(order: readonly string[], unit: string, room: number): object[] {
  const y = {
    field: "assumption",
    type: "nominal",
    sort: order,
    title: null,
    axis: { domain: false, ticks: false, labelPadding: 14 },
  };
  const x = (field: string) => ({
    field,
    type: "quantitative",
    title: `${measure} [${unit}]`,
    scale: { zero: false, padding: room },
    axis: { format: ",.0f", tickCount: 6 },
  });
  const label = (test: string, align: string, dx: number) => ({
    transform: [{ filter: test }],
    mark: { type: "text", align, dx, fontSize: labelSize },
    encoding: { y, x: x("labelAt"), text: { field: "text", type: "nominal" } },
  });
  return [
    {
      mark: { type: "bar", height: { band: 0.6 }, stroke: ink.text, strokeWidth: 0.75 },
      encoding: {
        y,
        x: { ...x("base"), stack: null },
        x2: { field: "value" },
        color: {
          field: "end",
          type: "nominal",
          scale: { domain: ["low", "high"], range: ["#1f4e79", "#bdd7ee"] },
          legend: null,
        },
        tooltip: [
          { field: "assumption", type: "nominal" },
          { field: "text", type: "nominal", title: "set to" },
          {
            field: "value",
            type: "quantitative",
            format: ",.0f",
            title: `${measure} [${unit}]`,
          },
        ],
      },
    },
    {
      mark: { type: "rule", color: ink.text, strokeWidth: 1.5 },
      encoding: { x: { ...x("base"), aggregate: "min" } },
    },
    label("datum.side === 'left'", "right", -4),
    label("datum.side === 'right'", "left", 4),
  ];
}
