import type { WalkDiagnosis } from "../domain/findings.ts";
import { type Lane, sameCircuit, sameLane } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { counted, laneText } from "../report/names.ts";
import { sentence } from "../words/figure-words.ts";
import { button, h, s } from "./element.ts";

/** How a lane stands in this walk: a sign of its own shape for each, and a word for it. */
const signs = {
  unread: ["M8 3a5 5 0 1 0 .01 0z", "not read"],
  begun: ["M8 3a5 5 0 1 0 .01 0zM8 3v10a5 5 0 0 0 0-10z", "begun"],
  sound: ["M2 8.5l4 4 8-9", "sound"],
  again: ["M5 6a3 3 0 1 1 4.2 2.7C8 9.300 8 10 8 11M8 13.6v.9", "read again"],
  weak: ["M8 2l7 12H1z", "weak"],
} as const;

export type LaneSign = keyof typeof signs;

/** The sign alone, for the eye; a word stands beside it. */
export const signDrawing = (sign: LaneSign): SVGElement =>
  s(
    "svg",
    { viewBox: "0 0 16 16", class: "lane-mark", "aria-hidden": "true" },
    s("path", { d: signs[sign][0] }),
  );

/** The worst that is known of a lane, and how many of its circuits are read. */
export function laneStanding(
  pool: Pool,
  lane: Lane,
  readings: readonly Reading[],
  walk: WalkDiagnosis | null,
): { readonly sign: LaneSign; readonly read: number; readonly of: number } {
  const own = pool.circuits.filter((circuit) => sameLane(circuit, { lane }));
  const read = own.filter((circuit) => readings.some((one) => sameCircuit(one, circuit)));
  const verdicts = read.map(
    (circuit) => walk?.circuits.find((one) => sameCircuit(one, circuit))?.verdict ?? null,
  );
  const sign: LaneSign =
    read.length === 0
      ? "unread"
      : verdicts.includes("weak")
        ? "weak"
        : verdicts.includes("read-again")
          ? "again"
          : read.length === own.length && verdicts.every((one) => one === "sound")
            ? "sound"
            : "begun";
  return { sign, read: read.length, of: own.length };
}

/** The lanes side by side: where the walk is, and how each lane stands; a tap goes to one. */
export function laneStrip(
  pool: Pool,
  readings: readonly Reading[],
  walk: WalkDiagnosis | null,
  here: Lane | null,
  go: (lane: Lane) => void,
): HTMLElement {
  const cell = (lane: Lane): HTMLElement => {
    const { sign, read, of } = laneStanding(pool, lane, readings, walk);
    const [, word] = signs[sign];
    const progress = of === 1 ? "" : `, ${read} of ${counted(of, "circuit")} read`;
    const node = button("", () => go(lane), {
      class: `lane ${sign}`,
      "aria-label": `${sentence(laneText(lane))}: ${word}${progress}`,
      "aria-current": lane === here ? "location" : null,
    });
    node.append(h("span", { class: "lane-name" }, String(lane)), signDrawing(sign));
    return node;
  };
  return h(
    "div",
    { class: "strip", role: "group", "aria-label": "Lanes", tabindex: "-1" },
    ...pool.lanes.map(cell),
  );
}
