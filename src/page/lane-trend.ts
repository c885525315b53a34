import { lastPoint } from "../domain/circuit.ts";
import { circuitOf, type Lane, sameLane } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { isResting, type Reading } from "../domain/reading.ts";
import { laneText } from "../report/names.ts";
import { dayNumber } from "../rooms/domain-room.ts";
import { sentence } from "../words/figure-words.ts";
import { s } from "./element.ts";
import { voltsWords } from "./numbers.ts";

/** The lowest value that anybody read at a last point of the lane in one walk. */
interface LaneLow {
  readonly day: string;
  readonly volts: number;
}

/** One a walk that has a day, the earliest first. */
export function lowsOf(pool: Pool, readings: readonly Reading[], lane: Lane): readonly LaneLow[] {
  const lows = new Map<string, LaneLow>();
  for (const one of readings) {
    const circuit = circuitOf(pool, one);
    if (one.takenAt === null || !isResting(one) || !sameLane(one, { lane })) continue;
    if (circuit === undefined || one.point !== lastPoint(circuit)) continue;
    const before = lows.get(one.walk);
    if (before === undefined || one.volts < before.volts)
      lows.set(one.walk, { day: one.takenAt.day, volts: one.volts });
  }
  return [...lows.values()].toSorted((a, b) => a.day.localeCompare(b.day));
}

const size = { width: 420, height: 156, left: 14, right: 14, top: 32, bottom: 34 };

/** Room that the last value takes, from its right end [units of the drawing]. */
const VALUE_WIDTH = 62;

interface Point {
  readonly x: number;
  readonly y: number;
}

/** The highest that a line goes over its last stretch of such a width: words above that lie on no line. */
function topOver(line: readonly Point[], width: number): number {
  const last = line.at(-1)!;
  const from = last.x - width;
  const inside = line.filter(({ x }) => x >= from);
  const before = line[line.length - inside.length - 1];
  const first = inside[0]!;
  const entering =
    before === undefined
      ? first.y
      : before.y + ((from - before.x) / (first.x - before.x)) * (first.y - before.y);
  return Math.min(entering, ...inside.map(({ y }) => y));
}

/** A lane's season in one picture: its lowest last point in each walk, the limit, and when they may meet. */
export function laneTrend(
  lane: Lane,
  lows: readonly LaneLow[],
  limit: number | null,
  crossing: string | null,
): SVGElement {
  const days = lows.map(({ day }) => dayNumber(day) ?? 0);
  const until = crossing === null ? null : dayNumber(crossing);
  const [from, to] = [days[0] ?? 0, Math.max(days.at(-1) ?? 0, until ?? 0)];
  const values = [...lows.map(({ volts }) => volts), ...(limit === null ? [] : [limit])];
  const [least, most] = [Math.min(...values), Math.max(...values)];
  const { width, height, left, right, top, bottom } = size;
  const x = (day: number): number =>
    left + ((day - from) / Math.max(1, to - from)) * (width - left - right);
  const y = (volts: number): number =>
    height - bottom - ((volts - least) / Math.max(most - least, 0.1)) * (height - top - bottom);
  const last = lows.at(-1)!;
  const when = crossing === null ? "no date in sight" : `at its limit about ${crossing}`;
  const drawing = s("svg", {
    ...{ viewBox: `0 0 ${width} ${height}`, class: "profile", role: "img" },
    "aria-label": `${sentence(laneText(lane))}: ${lows.map(({ day, volts }) => `${day} ${voltsWords(volts)}`).join(", ")}; ${when}`,
  });
  if (limit !== null) {
    const at = y(limit);
    drawing.append(s("line", { class: "limit", x1: left, x2: width - right, y1: at, y2: at }));
  }
  const line = lows.map(({ volts }, k) => ({ x: x(days[k]!), y: y(volts) }));
  const points = line.map((at) => `${at.x.toFixed(1)},${at.y.toFixed(1)}`);
  drawing.append(s("polyline", { class: "line", points: points.join(" ") }));
  if (until !== null && limit !== null)
    drawing.append(
      s("line", {
        ...{ class: "ahead", x1: x(days.at(-1)!), y1: y(last.volts), x2: x(until), y2: y(limit) },
      }),
    );
  for (const at of line) drawing.append(s("circle", { cx: at.x, cy: at.y, r: 4 }));
  const above = topOver(line, VALUE_WIDTH) - 10;
  const end = { x: line.at(-1)!.x + 6, y: above, class: "value end-value" };
  drawing.append(
    s("text", end, voltsWords(last.volts)),
    s("text", { x: left, y: height - 8, class: "from" }, lows[0]!.day),
    s("text", { x: width - right, y: height - 8, class: "until" }, crossing ?? last.day),
  );
  return drawing;
}
