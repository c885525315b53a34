import { dayText } from "../../src/domain/calendar.ts";
import type { ContactFinding, WalkDiagnosis } from "../../src/domain/findings.ts";
import type { Lane } from "../../src/domain/place.ts";
import { filmPart, type LogNormal } from "../../src/domain/pool.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { ohms, volts } from "../../src/domain/units.ts";
import type { WorkAction, WorkEntry } from "../../src/domain/work.ts";
import type { DatedWalk } from "../../src/history/contact-history.ts";
import { emptyWalk, steady } from "../made-findings.ts";
import { type TestPool as Pool, poolFrom, usualContacts } from "../plain-pool.ts";

/** Uniform numbers in (0, 1) from a seed (mulberry32), and standard normal ones from those. */
export function random(seed: number): { uniform: () => number; normal: () => number } {
  let state = seed >>> 0;
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return (((t ^ (t >>> 14)) >>> 0) + 0.5) / 4294967296;
  };
  const normal = (): number =>
    Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
  return { uniform, normal };
}

/** The default pool file's values; the chain's points by name, shared by device at the last. */
export function poolOf(lanes: number, points: readonly string[] = ["plate", "pod"]): Pool {
  return poolFrom({
    name: "Kestrel Bay",
    lanes: Array.from({ length: lanes }, (_, i) => i + 1),
    devices: ["touchpad"],
    supply: { emf: volts(5), emfSd: volts(0.05), sourceOhms: ohms(0) },
    meters: [
      {
        name: "deck",
        loadOhms: ohms(1000),
        resolution: volts(0.01),
        noise: volts(0.02),
        offAfter: [70, 95],
      },
    ],
    chain: points.map((point, at) => ({
      point,
      connector: point === "pod" ? "pod terminals" : `${point} connector`,
      sharedBy: point === "timer" ? "pool" : at === points.length - 1 ? "device" : "lane",
      wireOhms: ohms(1),
      contaminated: 0.05,
      fouled: 0.05,
      fouledIfContaminated: 0.7,
    })),
    ...usualContacts,
  });
}

const CELLS = 240;
const LOG_LOW = Math.log(0.01);
const LOG_STEP = (Math.log(20_000) - LOG_LOW) / CELLS;
const GRID = Float64Array.from({ length: CELLS }, (_, i) =>
  Math.exp(LOG_LOW + (i + 0.5) * LOG_STEP),
);

const massesOf = ({ medianOhms, logSd }: LogNormal): Float64Array => {
  const raw = GRID.map((r) => Math.exp(-0.5 * (Math.log(r / medianOhms) / logSd) ** 2));
  const total = raw.reduce((sum, m) => sum + m, 0);
  return raw.map((m) => m / total);
};

/**
 * What a diagnosis says of one contact whose resistance was measured alone, as `shown` ohms with a
 * normal error: the posterior under the mixture of sound (0.89), fouled (0.1) and open (0.01), by
 * summing over a grid. Written for the tests; it shares no code with the program.
 */
export function findingOf(
  pool: Pool,
  circuit: { lane: Lane; device: string; end?: null; point: string },
  shown: number,
  errorOhms: number,
): ContactFinding {
  const [sound, fouled] = massesFor(pool);
  const posterior = new Float64Array(CELLS);
  let [soundSum, fouledSum] = [0, 0];
  for (let i = 0; i < CELLS; i++) {
    const likelihood = Math.exp(-0.5 * ((shown - GRID[i]!) / errorOhms) ** 2) + 1e-12;
    const s = 0.89 * sound[i]! * likelihood;
    const f = 0.1 * fouled[i]! * likelihood;
    soundSum += s;
    fouledSum += f;
    posterior[i] = s + f;
  }
  const open = 0.01 * (Math.exp(-0.5 * Math.max(0, (20_000 - shown) / 2000) ** 2) + 1e-12);
  const total = soundSum + fouledSum + open;
  const quantile = (p: number): number => {
    let sum = 0;
    for (let i = 0; i < CELLS; i++) {
      const next = sum + posterior[i]! / total;
      if (next >= p) return GRID[i]! * Math.exp(((p - sum) / (next - sum) - 0.5) * LOG_STEP);
      sum = next;
    }
    return Infinity;
  };
  return {
    ...circuit,
    end: null,
    sound: soundSum / total,
    fouled: fouledSum / total,
    open: open / total,
    ...steady,
    ohms: { median: quantile(0.5), low: quantile(0.05), high: quantile(0.95) },
    voltsLost: 0,
  };
}

const masses = new WeakMap<Pool, readonly [Float64Array, Float64Array]>();
function massesFor(pool: Pool): readonly [Float64Array, Float64Array] {
  const known = masses.get(pool) ?? [
    massesOf(pool.contact.sound),
    massesOf(filmPart(pool.contact)),
  ];
  masses.set(pool, known);
  return known;
}

/** A walk that found these contacts, on a meter that shows steps of `detectionLimit` ohms. */
export function walkOf(
  day: number,
  contacts: readonly ContactFinding[],
  detectionLimit: number | null = 12,
): DatedWalk {
  const diagnosis: WalkDiagnosis = {
    ...emptyWalk,
    walk: dayText(day),
    contacts,
    meters: [{ meter: "deck", detectionLimit, blind: detectionLimit === null }],
  };
  return { day, seconds: null, diagnosis, readings: readingsOf(diagnosis.walk, contacts) };
}

/** What a 1 kilohm meter of 10 mV steps reads behind these contacts, one ohm of copper before each. */
function readingsOf(walk: string, contacts: readonly ContactFinding[]): readonly Reading[] {
  const series = new Map<string, number>();
  return contacts.map(({ lane, device, end, point, ohms: found }, i): Reading => {
    const path = `${lane} ${device}`;
    const sum = (series.get(path) ?? 0) + 1 + found.median;
    series.set(path, sum);
    return {
      ...{ lane, device, end, point, walk, meter: "deck", state: "rest", meterOn: false },
      ...{ volts: volts(Math.round(500_000 / (1000 + sum)) / 100), step: volts(0.01) },
      ...{ id: null, takenAt: null, by: null, note: null, line: i + 2 },
    };
  });
}

/** A line of the work log. */
export function workOf(
  day: number,
  action: WorkAction,
  point: string,
  lane: Lane | null = 1,
  device: string | null = null,
): WorkEntry {
  const text = dayText(day);
  return {
    doneAt: { text, day: text, seconds: null },
    lane,
    device,
    end: null,
    lanes: lane === null ? [] : [lane],
    sharing: device !== null ? "device" : lane !== null ? "lane" : "pool",
    point,
    action,
    minutes: null,
    cost: null,
    by: null,
    note: null,
    line: 2,
  };
}
