import { expect, test } from "vitest";
import { circuitMargins } from "../../src/circuit/circuit-margins.ts";
import { walkStanding } from "../../src/circuit/walk-standing.ts";
import type { CircuitFinding, WalkDiagnosis } from "../../src/domain/findings.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { ohms, volts } from "../../src/domain/units.ts";
import { emptyWalk, steady } from "../made-findings.ts";
import { poolFrom } from "../plain-pool.ts";
import { deckMeter, demoPool } from "./demo-pool.ts";

const shown = (meter: string, step: number): Reading => ({
  ...{ lane: 1, device: "touchpad", end: null, point: "pod", volts: volts(4.9), step: volts(step) },
  ...{ takenAt: null, walk: "w", meter, id: null, meterOn: false, state: "rest" as const },
  ...{ by: null, note: null, line: 2 },
});
const poolOf = (resolution: number | null) =>
  poolFrom({
    ...demoPool,
    meters: [
      {
        ...deckMeter,
        noise: volts(0.02),
        resolution: resolution === null ? null : volts(resolution),
      },
      { ...deckMeter, name: "other" },
    ],
  });

// JCGM 106:2012, 8.3.2: limit plus z(0.95) u, with u^2 = noise^2 + step^2/12 (a rectangular step, GUM F.2.2.1).
const z95 = 1.6448536269514722;
const uncertainty = (step: number): number => Math.sqrt(0.02 ** 2 + step ** 2 / 12);

test.each([
  [0.05, [shown("deck", 0.01)], 0.05],
  [null, [shown("deck", 0.01), shown("deck", 0.001), shown("deck", 0.01)], 0.001],
  [null, [shown("deck", 0.01), shown("other", 0.0001)], 0.01],
  [null, [], 0.1],
])(
  "one reading's guard band: step %s of the meter, else the finest that it showed",
  (own, readings, step) => {
    const { acceptance } = walkStanding(poolOf(own), emptyWalk, readings);
    expect(acceptance).toMatchObject({ meter: "deck", step, tolerated: 0.05 });
    expect(acceptance.readingSd).toBeCloseTo(uncertainty(step), 14);
    expect(acceptance.guardBand).toBeCloseTo(z95 * uncertainty(step), 12);
    expect(acceptance.acceptanceLimit).toBeCloseTo(4.8 + z95 * uncertainty(step), 12);
  },
);

test("every circuit of the walk stands beside its own margins", () => {
  const pool = poolFrom({ ...demoPool, timerInput: null });
  const sure = { median: ohms(1), low: ohms(1), high: ohms(1) };
  const contacts = pool.chain.map(({ point }) => ({
    ...{ lane: 1, device: "touchpad", end: null, point, sound: 1, fouled: 0, open: 0 },
    ...{ ...steady, ohms: sure, voltsLost: 0 },
  }));
  const circuit = { lane: 1, device: "touchpad", end: null, verdict: "sound" };
  const walk: WalkDiagnosis = { ...emptyWalk, contacts, circuits: [circuit as CircuitFinding] };
  const { circuits } = walkStanding(pool, walk, []);
  const name = { lane: 1, device: "touchpad", end: null };
  expect(circuits).toEqual([{ ...name, margins: circuitMargins(pool, walk, name, []) }]);
});
