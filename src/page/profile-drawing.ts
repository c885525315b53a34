import type { Circuit } from "../domain/circuit.ts";
import type { SoundPoint } from "../report/charts/path-profile.ts";
import { s } from "./element.ts";
import { voltsWords } from "./numbers.ts";

const size = { width: 420, height: 260, left: 16, right: 16, top: 34, bottom: 84 };

/** One circuit's volts to draw. */
export interface Profile {
  readonly title: string;
  /** What was read last, by point; null where nobody read. */
  readonly read: (point: string) => number | null;
  readonly sound: readonly SoundPoint[];
  /** The point behind the connector that is suspected; null: none. */
  readonly faultAt: string | null;
}

const steps = (ordered: readonly (readonly [number, number])[]): string =>
  ordered.map(([x, y]) => `${x.toFixed(1)},${y.toFixed(1)}`).join(" ");

/**
 * Volts along one path, timer side left, against the band in which a sound path would lie. The eye
 * looks for the point where the solid line leaves the band; the suspected one says so in words.
 */
export function profileDrawing(
  { path }: Pick<Circuit, "path">,
  limitAt: number | null,
  profile: Profile,
): SVGElement {
  const points = path.map((step) => step.point);
  const read = points.map(profile.read);
  const band = points.map((point) => profile.sound.find((one) => one.point === point));
  const values = [
    ...read.filter((one) => one !== null),
    ...band.flatMap((one) => (one === undefined ? [] : [one.low, one.high])),
    ...(limitAt === null ? [] : [limitAt]),
  ];
  const [least, most] = [Math.min(...values), Math.max(...values)];
  const { width, height, left, right, top, bottom } = size;
  const column = (width - left - right) / points.length;
  const x = (index: number): number => left + column * (index + 0.5);
  const y = (volts: number): number =>
    height - bottom - ((volts - least) / Math.max(most - least, 0.05)) * (height - top - bottom);
  const drawing = s("svg", {
    viewBox: `0 0 ${width} ${height}`,
    class: "profile",
    role: "img",
    "aria-label": spoken(profile, points),
  });
  const upper = band.flatMap((one, k) => (one ? [[x(k), y(one.high)] as const] : []));
  const lower = band.flatMap((one, k) => (one ? [[x(k), y(one.low)] as const] : []));
  drawing.append(s("polygon", { class: "band", points: steps([...upper, ...lower.toReversed()]) }));
  if (limitAt !== null) {
    const [y1, x2] = [y(limitAt), width - right];
    drawing.append(s("line", { class: "limit", x1: left, x2, y1, y2: y1 }));
  }
  const solid = read.flatMap((one, k) => (one === null ? [] : [[x(k), y(one)] as const]));
  drawing.append(s("polyline", { class: "line", points: steps(solid) }));
  for (const [k, point] of points.entries()) {
    const volts = read[k];
    const fault = point === profile.faultAt;
    const name = { x: x(k), y: height - 30, class: fault ? "strong" : "" };
    drawing.append(s("text", name, point));
    if (fault)
      drawing.append(s("text", { x: x(k), y: height - 10, class: "strong" }, "fault here"));
    if (volts === null || volts === undefined) continue;
    drawing.append(s("circle", { cx: x(k), cy: y(volts), r: fault ? 9 : 6 }));
    const under = [read[k - 1], read[k + 1]].some((one) => typeof one === "number" && one > volts);
    const label = { x: x(k), y: y(volts) + (under ? 28 : -14), class: "value" };
    drawing.append(s("text", label, voltsWords(volts)));
  }
  return drawing;
}

function spoken(profile: Profile, points: readonly string[]): string {
  const each = points.map((point) => {
    const volts = profile.read(point);
    const fault = point === profile.faultAt ? ", fault here" : "";
    return `${point} ${volts === null ? "not read" : voltsWords(volts)}${fault}`;
  });
  return `${profile.title}, from the timer out: ${each.join("; ")}.`;
}
