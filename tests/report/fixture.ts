import type {
  ConnectorFinding,
  ContactFinding,
  Evidence,
  WalkDiagnosis,
} from "../../src/domain/findings.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { ohms, volts } from "../../src/domain/units.ts";
import type { SoundPoint } from "../../src/report/charts/path-profile.ts";
import { emptyWalk, steady } from "../made-findings.ts";
import { type PlainLink, placeOf, poolFrom } from "../plain-pool.ts";

/**
 * An invented pool with three known faults, and an invented diagnosis of it: what a chart or a
 * document draws is tested here, not whether the diagnosis is right. Volts are from the model's
 * equation (1), V = E RL / (RL + S), with E = 4.99 V and RL = 1000 Ω, rounded to the display.
 */
export const pool = poolFrom({
  name: "Kestrel Bay",
  lanes: [1, 2, 3, 4, 5, 6, 7, 8],
  devices: ["touchpad", "button-1"],
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
  chain: [
    link("timer", "timer outlet", "pool", 0.1, 0.02, 0.01),
    link("harness", "harness connector", "lane", 0.6, 0.04, 0.01),
    link("plate", "plate connector", "lane", 2, 0.08, 0.02),
    link("pod", "pod terminals", "device", 0.3, 0, 0.12),
  ],
  contact: {
    sound: { medianOhms: ohms(0.2), logSd: 0.8 },
    fouled: { medianOhms: ohms(60), logSd: 1.2 },
  },
  misread: 0.01,
  limitVolts: volts(4.8),
  timerInput: null,
});

function link(
  point: string,
  connector: string,
  sharedBy: "pool" | "lane" | "device",
  wire: number,
  contaminated: number,
  fouled: number,
): PlainLink {
  const fouledIfContaminated = sharedBy === "device" ? fouled : 0.7;
  return {
    point,
    connector,
    sharedBy,
    wireOhms: ohms(wire),
    contaminated,
    fouled,
    fouledIfContaminated,
  };
}

const emf = 4.99;
const load = 1000;

/** The faults: ohms of the contact; everything else is 0.2 Ω. */
const faults: Readonly<Record<string, number>> = {
  "3|touchpad|plate": 85,
  "3|button-1|plate": 31,
  "7|button-1|pod": Number.POSITIVE_INFINITY,
  "5|touchpad|harness": 40,
};

const through = (series: number): number => (emf * load) / (load + series);

function circuitVolts(lane: number | string, device: string, withFaults: boolean): number[] {
  let series = 0;
  return pool.chain.map((one) => {
    const fault = withFaults ? faults[`${lane}|${device}|${one.point}`] : undefined;
    series += one.wireOhms + (fault ?? 0.2);
    return through(series);
  });
}

export const walkName = "2026-05-02";

export const readings: readonly Reading[] = pool.lanes.flatMap((lane, laneIndex) =>
  pool.devices.flatMap((device, deviceIndex) =>
    circuitVolts(lane, device, true).map(
      (value, index): Reading => ({
        lane,
        device,
        end: null,
        point: pool.chain[index]!.point,
        volts: volts(Math.round(value * 100) / 100),
        step: volts(0.01),
        takenAt: null,
        walk: walkName,
        meter: "deck",
        id: null,
        meterOn: false,
        state: "rest",
        by: null,
        note: null,
        line: 2 + laneIndex * 8 + deviceIndex * 4 + index,
      }),
    ),
  ),
);

export const sound: readonly SoundPoint[] = pool.lanes.flatMap((lane) =>
  pool.devices.flatMap((device) =>
    circuitVolts(lane, device, false).map((median, index) => ({
      lane,
      device,
      end: null,
      point: pool.chain[index]!.point,
      median,
      low: median - 0.035,
      high: median + 0.033,
    })),
  ),
);

function contact(lane: number, device: string, point: string, fouled: number): ContactFinding {
  const fault = faults[`${lane}|${device}|${point}`];
  const open = fault === Number.POSITIVE_INFINITY ? 0.98 : 0;
  const median = fault ?? 0.2;
  return {
    lane,
    device,
    end: null,
    point,
    sound: 1 - fouled - open,
    fouled,
    open,
    ...steady,
    ohms: { median, low: median * 0.85, high: median * 1.15 },
    voltsLost: open > 0 ? 4.9 : emf - through(median),
  };
}

const findings: readonly [number, string, string, string, string | null, number][] = [
  [3, "touchpad", "plate", "plate connector", null, 0.9997],
  [7, "button-1", "pod", "pod terminals", "button-1", 0.985],
  [5, "touchpad", "harness", "harness connector", null, 0.93],
  [2, "touchpad", "plate", "plate connector", null, 0.04],
  [8, "touchpad", "pod", "pod terminals", "touchpad", 0.02],
  [1, "touchpad", "pod", "pod terminals", "touchpad", 0.004],
];

const contacts: readonly ContactFinding[] = pool.lanes.flatMap((lane) =>
  pool.devices.flatMap((device) =>
    pool.chain.map(({ point }) => {
      const fault = faults[`${lane}|${device}|${point}`];
      const fouled = fault === undefined ? 0.01 : Number.isFinite(fault) ? 0.99 : 0.01;
      return contact(lane as number, device, point, fouled);
    }),
  ),
);

function evidence(lane: number, device: string, point: string): Evidence[] {
  return readings
    .filter((one) => one.lane === lane && one.device === device)
    .map((one) => ({
      lane,
      device,
      end: null,
      point: one.point,
      volts: one.volts,
      expectedIfSound: sound.find(
        (each) => each.lane === lane && each.device === device && each.point === one.point,
      )!.median,
      speaks: one.point === point ? "for" : "against",
    }));
}

const connectors: readonly ConnectorFinding[] = findings.map(
  ([lane, device, point, connector, ownDevice, atFault]) => {
    const worst = contact(lane, device, point, atFault > 0.9 ? 0.99 : atFault);
    return {
      ...placeOf(point, lane, ownDevice),
      connector,
      atFault,
      voltsLost: worst.voltsLost,
      circuits: ownDevice === null ? ["touchpad", "button-1"] : [ownDevice],
      worst: Number.isFinite(worst.ohms.median) ? worst : { ...worst, fouled: 0.01 },
      fails: [{ how: "fouled", probability: worst.fouled }],
      evidence: evidence(lane, device, point),
      inseparableFrom: lane === 5 ? ["plate"] : [],
      wouldSeparate:
        lane === 5 ? { lane: 5, device: "touchpad", end: null, point: "harness" } : null,
    };
  },
);

export const walk: WalkDiagnosis = {
  ...emptyWalk,
  walk: walkName,
  logEvidence: 112.4,
  emf: { median: 4.99, low: 4.985, high: 4.995 },
  connectors,
  contacts,
  explanations: [
    {
      kind: "leaking",
      lane: 5,
      device: "touchpad",
      end: null,
      point: "pod",
      of: null,
      probability: 0.08,
    },
  ],
  readAgain: [
    {
      lane: 8,
      device: "touchpad",
      end: null,
      point: "pod",
      why: "one-odd-value",
      shown: { volts: 4.97, line: 61, doubt: 0.6 },
    },
  ],
  meters: [{ meter: "deck", detectionLimit: 9.1, blind: false }],
};
