import { openPool, reading } from "../../src/analyze.ts";
import type { Pool } from "../../src/domain/pool.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { random } from "../history/synthetic.ts";

/** What is really so at a facility; the pool file need not know. */
export interface Nature {
  readonly contaminated: Readonly<Record<Point, number>>;
  readonly fouled: Readonly<Record<Point, number>>;
  readonly openPerFouled: number;
  readonly misread: number;
  readonly noise: number;
  readonly soundOhms: number;
  readonly filmOhms: number;
}

const POINTS = ["harness", "plate", "pod"] as const;
type Point = (typeof POINTS)[number];
const WIRES = { harness: 0.6, plate: 2, pod: 0.3 };
const LANES = [1, 2, 3, 4];

/** As the pool file has it where it is silent, and what it names below. */
export const usual: Nature = {
  contaminated: { harness: 0.04, plate: 0.08, pod: 0 },
  fouled: { harness: 0.01, plate: 0.02, pod: 0.12 },
  openPerFouled: 0.1,
  misread: 0.003,
  noise: 0.02,
  soundOhms: 0.2,
  filmOhms: 60,
};

const LINKS = POINTS.map(
  (point) =>
    `  - { point: ${point}, connector: ${point}, class: ${point}, wire_ohms: ${WIRES[point]}, intermittent: 0, ` +
    `cable_break: 0, shared_by: ${point === "pod" ? "device" : "lane"} }`,
);

/** Four lanes of these devices behind lane harnesses; nothing conducts, comes and goes or breaks. */
export const drawnFile = (
  devices: readonly string[] = ["touchpad", "button-1"],
): string => `pool: Drawn
lanes: 1-4
devices: [${devices}]
supply: { source_ohms: 0 }
meters: [{ name: deck, load_ohms: 1000, resolution: 0.01, noise: 0.02 }]
model: { stuck: 0, leaking: 0, wet_leak: 0, blank: 0 }
chain:
${LINKS.join("\n")}
`;

export function drawnPool(devices?: readonly string[]): Pool {
  const read = openPool(drawnFile(devices));
  if (!read.ok) throw new Error(read.error.map(({ message }) => message).join("; "));
  return read.value;
}

/** Walks of every point, each with contacts, supply and noise of its own, from a seed. */
export function drawnWalks(
  pool: Pool,
  nature: Nature,
  count: number,
  seed: number,
): readonly (readonly Reading[])[] {
  const { uniform, normal } = random(seed);
  const ohmsOf = (fouled: boolean): number => {
    if (!fouled) return nature.soundOhms * Math.exp(0.8 * normal());
    return uniform() < 0.6
      ? nature.filmOhms * Math.exp(1.2 * normal())
      : 10_000 * Math.exp(3 * normal());
  };
  const contactOf = (point: Point, contaminated: boolean): number => {
    const chance = contaminated ? 0.7 : nature.fouled[point];
    const u = uniform();
    if (u < chance * nature.openPerFouled) return Number.POSITIVE_INFINITY;
    return ohmsOf(u < chance * (1 + nature.openPerFouled));
  };
  const total = LANES.length * pool.devices.length * POINTS.length;
  return Array.from({ length: count }, (_, w) => {
    const emf = 5 + 0.05 * normal();
    const drift = 0.02 * normal();
    const noise = nature.noise * Math.exp(0.3 * normal());
    let number = 0;
    return LANES.flatMap((lane) => {
      const bodies = POINTS.map((point) => uniform() < nature.contaminated[point]);
      return pool.devices.flatMap((device) => {
        let series = 0;
        return POINTS.map((point, k) => {
          series += WIRES[point] + contactOf(point, bodies[k]!);
          const here = emf + drift * (number++ / (total - 1) - 0.5);
          const off = (uniform() < 0.05 ? 3 : 1) * noise * normal();
          const volts =
            uniform() < nature.misread
              ? 5.5 * uniform()
              : Math.max(0, (here * 1000) / (1000 + series) + off);
          const walk = `walk-${w + 1}`;
          return reading(pool, { lane, device, point, volts: Number(volts.toFixed(2)), walk });
        });
      });
    });
  });
}
