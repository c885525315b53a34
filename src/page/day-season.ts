import { currencyOf } from "../domain/currency.ts";
import { sameLane } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { decisionWords } from "../report/decision-words.ts";
import { laneText } from "../report/names.ts";
import { limitVolts } from "../rooms/circuit-room.ts";
import { dayText } from "../rooms/domain-room.ts";
import { sentence } from "../words/figure-words.ts";
import type { App } from "./app.ts";
import type { DayAnswer } from "./day-task.ts";
import { type Child, h } from "./element.ts";
import { laneTrend, lowsOf } from "./lane-trend.ts";

/** Walks of fewer days than this make no picture. */
const FEWEST = 2;

/** One picture a lane; lanes that reach their limit first stand first. */
export function trendView(app: App, pool: Pool, { circuits }: DayAnswer): readonly Child[] {
  const readings = app.contents?.readings ?? [];
  const lanes = pool.lanes
    .map((lane) => {
      const own = circuits.filter((one) => sameLane(one, { lane }));
      const first = own.find(({ crossing }) => crossing !== null);
      return {
        lane,
        crossing: first?.crossing?.median ?? null,
        lows: lowsOf(pool, readings, lane),
      };
    })
    .filter(({ lows }) => new Set(lows.map(({ day }) => day)).size >= FEWEST)
    .toSorted((a, b) => (a.crossing ?? Infinity) - (b.crossing ?? Infinity));
  if (lanes.length === 0)
    return [
      h("p", {}, "One day is no trend: walk again in a week, and each lane has its picture."),
    ];
  return [
    h(
      "p",
      { class: "small" },
      "The lowest value at a lane’s last point, walk by walk; dotted, the limit. A date stands there only where a fall was seen.",
    ),
    ...lanes.map(({ lane, crossing, lows }) => {
      const date = crossing === null ? null : dayText(Math.round(crossing));
      const words = date === null ? "holds" : `at its limit about ${date}`;
      return h(
        "figure",
        { class: "lane-trend" },
        h("figcaption", {}, h("strong", {}, `${sentence(laneText(lane))}`), ` ${words}`),
        laneTrend(lane, lows, limitVolts(pool), date),
      );
    }),
  ];
}

/** Clean, replace or leave: the command's own sentences. */
export function decideView(pool: Pool, { decided }: DayAnswer): readonly Child[] {
  const decisions = decided?.decisions ?? [];
  if (decisions.length === 0) return [h("p", {}, "Nothing to clean or replace.")];
  const currency = currencyOf(pool);
  return [
    h(
      "ol",
      { class: "day-list" },
      ...decisions.map((one) => h("li", {}, sentence(decisionWords(one, currency)))),
    ),
    h(
      "p",
      { class: "small" },
      "Prices are those of the pool file; what it leaves out is a guess. The reasons stand under Result, at each suspect.",
    ),
  ];
}
