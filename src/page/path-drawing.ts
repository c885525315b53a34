import type { Circuit } from "../domain/circuit.ts";
import { s } from "./element.ts";
import { voltsWords } from "./numbers.ts";

/** What is known of one point of the drawn path. */
export interface PointMark {
  readonly volts: number | null;
  /** A word under the point: `weak`, `fault here`. */
  readonly word: string;
}

const step = 100;
const wireY = 46;

/**
 * The path as one line from the timer out: a ring at each point, a filled one with an arrow
 * where to put the meter. Position, shape and words say it; no colour does.
 */
export function pathDrawing(
  circuit: Circuit,
  here: string | null,
  marks: (point: string) => PointMark,
): SVGElement {
  const points = circuit.path.map((step) => step.point);
  const width = step * (points.length + 1);
  const x = (index: number): number => step * (index + 1);
  const crowded = points.length > 5;
  const spoken = points.map((point) => {
    const { volts, word } = marks(point);
    return `${point}${volts === null ? "" : ` ${voltsWords(volts)}`}${word === "" ? "" : ` ${word}`}`;
  });
  const words = `The path from the timer out to the ${circuit.device}: ${spoken.join(", ")}.`;
  const target = here === null ? "" : ` Read at the ${here}.`;
  const drawing = s(
    "svg",
    { viewBox: `0 0 ${width} 104`, class: "path", role: "img", "aria-label": words + target },
    s("line", { class: "wire", x1: 40, y1: wireY, x2: width - 30, y2: wireY }),
    s("rect", { class: "box", x: 8, y: wireY - 18, width: 44, height: 36, rx: 4 }),
    s("text", { x: 8, y: 92, class: "end" }, "timer"),
    s("rect", { class: "box", x: width - 44, y: wireY - 12, width: 34, height: 24, rx: 4 }),
    s("path", {
      class: "water",
      d: `M${width - 52} 66 q8 -8 16 0 t16 0 t16 0`,
    }),
    s("text", { x: width - 4, y: 92, class: "end right" }, "pool"),
  );
  for (const [index, point] of points.entries()) {
    const { volts, word } = marks(point);
    const target = point === here;
    const shape = { cx: x(index), cy: wireY, r: target ? 13 : 9 };
    drawing.append(s("circle", { class: target ? "point here" : "point", ...shape }));
    if (target) drawing.append(s("path", { class: "arrow", d: `M${x(index)} 30 l-9 -15 h18 z` }));
    if (!crowded || target)
      drawing.append(
        s("text", { x: x(index), y: 78, class: target ? "name strong" : "name" }, point),
      );
    const under = word === "" ? (volts === null ? "" : voltsWords(volts)) : word;
    if (!crowded && under !== "")
      drawing.append(s("text", { x: x(index), y: 97, class: "value" }, under));
  }
  return drawing;
}
