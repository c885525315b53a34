import type { Layout } from "./layout.ts";
import type { Taken } from "./readings.ts";

/** What the pool file and the sheet say, right or wrong. */
export interface Told {
  /** Null: unknown [ohm]. */
  readonly load: number | null;
  readonly source: number | null;
  /** [V] */
  readonly noise: number;
  /** Earliest and latest [s]; null where nobody knows. */
  readonly offAfter: readonly [number, number] | null;
  readonly timed: boolean;
  /** Switch-on is marked. */
  readonly marked: boolean;
  /** The whole path's limit; null: 4.8 V on the deck meter [ohm]. */
  readonly limitOhms: number | null;
}

const orUnknown = (value: number | null): string => (value === null ? "unknown" : `${value}`);

/** The pool file: all that is not written has its default. */
export function poolText(layout: Layout, told: Told): string {
  const off = told.offAfter === null ? "" : `, off_after: [${told.offAfter.join(", ")}]`;
  const lines = [
    "pool: Drawn",
    `lanes: ${layout.lanes.length}`,
    `devices: ${layout.devicesText}`,
    `supply: { emf: 5.0, emf_sd: 0.05, source_ohms: ${orUnknown(told.source)} }`,
    "meters:",
    `  - { name: deck, load_ohms: ${orUnknown(told.load)}, resolution: 0.01, ` +
      `noise: ${told.noise}${off} }`,
    `limit: { ${told.limitOhms === null ? "volts: 4.8, meter: deck" : `ohms: ${told.limitOhms}`} }`,
  ];
  if (layout.name !== "plain") {
    lines.push("chain:");
    for (const { point, connector, wire, text } of layout.links) {
      lines.push(`  - { point: ${point}, connector: ${connector}, wire_ohms: ${wire}, ${text} }`);
    }
  }
  return `${lines.join("\n")}\n`;
}

const two = (n: number): string => String(n).padStart(2, "0");

/** Seconds into a walk that began at eight in the morning. */
function momentText(seconds: number): string {
  const [hours, minutes] = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60];
  return `2026-05-02T${two(8 + hours)}:${two(minutes)}:${two(seconds % 60)}`;
}

/** The sheet, one row a reading in the order in which they were taken. */
export function readingsText(taken: readonly Taken[], told: Told): string {
  const moved = taken.some(({ state }) => state === "moved");
  const head = ["walk", "lane", "device", "point", "volts"];
  if (told.timed) head.push("taken_at");
  if (told.marked) head.push("meter_on");
  if (moved) head.push("state");
  const rows = taken.flatMap(({ circuit, point, shown, seconds, switchedOn, state }) => {
    if (shown === null) return [];
    const cells = ["drawn", circuit.lane ?? "none", circuit.device, point, shown.toFixed(2)];
    if (told.timed) cells.push(momentText(seconds));
    if (told.marked) cells.push(switchedOn ? "yes" : "");
    if (moved) cells.push(state);
    return [cells.join(",")];
  });
  return `${[head.join(","), ...rows].join("\n")}\n`;
}
