import {
  along,
  behind,
  button,
  clocked,
  facilityOf,
  heavyTailed,
  meter,
  next,
  pad,
  plate,
  pod,
  type SecondCase,
  timed,
  two,
  usualFacility,
} from "./case-builders.ts";
import type { RowText } from "./facility-text.ts";

const four = (volts: readonly number[], more: Partial<RowText> = {}) =>
  (["timer", "harness", "plate", "pod"] as const).map(
    (point, i) => [point, volts[i]!, more] as const,
  );

const nothingMeasured = {
  ...heavyTailed,
  ...behind("unknown"),
  meters: [meter("deck", "unknown")],
};

/** Every later term off. */
export const firstModel: readonly SecondCase[] = [
  {
    name: "the first model: a zero, a fouled plate",
    facility: { ...usualFacility([1], ["pad"]), model: "plain", ...behind(0) },
    rows: along(pad, [
      ["timer", 5.0],
      ["harness", 0],
      ["plate", 4.62],
      ["pod", 4.63],
    ]),
  },
  {
    name: "the first model: two zeros, two devices",
    facility: { ...usualFacility([1], ["pad", "button"]), model: "plain", ...behind(0) },
    rows: [
      ...along(pad, [
        ["harness", 4.99],
        ["plate", 0],
        ["pod", 0],
      ]),
      ...along(button, [
        ["plate", 4.97],
        ["pod", 4.96],
      ]),
    ],
  },
];

/** Two or three terms at once. */
export const pairs: readonly SecondCase[] = [
  {
    name: "tails and drift",
    facility: facilityOf([1], ["pad", "button"], two, { tails: 0.05, drift_sd: 0.02 }),
    rows: [
      ...along(pad, [
        ["plate", 5.02],
        ["pod", 5.0],
        ["pod", 4.91],
      ]),
      ...along(button, [
        ["plate", 4.96],
        ["pod", 4.95],
      ]),
    ],
  },
  {
    name: "comes and goes, or the display was off",
    facility: facilityOf(
      [1],
      ["pad"],
      [plate, { ...pod, intermittent: 0.02 }],
      { intermittent: 0.005, blank: 0.0025 },
      heavyTailed,
    ),
    rows: along(pad, [
      ["plate", 4.99],
      ["pod", 4.97],
      ["pod", 0],
      ["pod", 4.98],
    ]),
  },
  {
    name: "unknown source and a leak",
    facility: facilityOf([1], ["pad", "button"], two, { leaking: 0.01 }, behind("unknown")),
    rows: [
      ...along(pad, [
        ["plate", 3.8],
        ["pod", 3.79],
      ]),
      ...along(button, [
        ["plate", 4.1],
        ["pod", 4.09],
      ]),
    ],
  },
  {
    name: "source and load unknown, a low supply",
    facility: facilityOf([1], ["pad", "button"], two, {}, nothingMeasured),
    rows: [
      ...along(pad, [
        ["plate", 4.1],
        ["pod", 4.09],
      ]),
      ...along(button, [
        ["plate", 4.1],
        ["pod", 3.6],
      ]),
    ],
  },
  {
    name: "source and load unknown, one low pod",
    facility: facilityOf([1], ["pad", "button"], two, {}, nothingMeasured),
    rows: [
      ...along(pad, [
        ["plate", 4.97],
        ["pod", 4.96],
      ]),
      ...along(button, [
        ["plate", 4.97],
        ["pod", 4.6],
      ]),
    ],
  },
  {
    name: "unknown load and a drifting supply",
    facility: facilityOf(
      [1],
      ["pad", "button"],
      two,
      { drift_sd: 0.02, noise_log_sd: 0.3 },
      { ...heavyTailed, meters: [meter("deck", "unknown")] },
    ),
    rows: [
      ...along(pad, [
        ["plate", 5.0],
        ["pod", 4.71],
      ]),
      ...along(button, [
        ["plate", 4.97],
        ["pod", 4.95],
      ]),
    ],
  },
  {
    name: "timed zeros and a cable that may be broken",
    facility: facilityOf(
      [1],
      ["pad", "button"],
      two,
      { cable_break: 0.002, blank: 0.0025, tails: 0.05 },
      clocked,
    ),
    rows: timed(
      [
        ...along(pad, [
          ["plate", 4.99],
          ["pod", 0],
          ["pod", 0],
        ]),
        ...along(button, [
          ["plate", 4.96],
          ["pod", 4.97],
        ]),
      ],
      [0, 40, 50, 100, 125],
    ),
  },
];

/** All terms, on one to three circuits: sound, faulty, odd. */
export const together: readonly SecondCase[] = [
  {
    name: "all terms, one sound circuit",
    facility: usualFacility([1], ["pad"]),
    rows: along(pad, four([5.0, 4.99, 4.98, 4.97])),
  },
  {
    name: "all terms, one fouled plate",
    facility: usualFacility([1], ["pad"]),
    rows: along(pad, four([5.0, 4.98, 4.62, 4.63])),
  },
  {
    name: "all terms, 4.98, 2.10, 4.97 at one pod",
    facility: usualFacility([1], ["pad"]),
    rows: along(pad, [
      ["pod", 4.98],
      ["pod", 2.1],
      ["pod", 4.97],
    ]),
  },
  {
    name: "all terms, one pod of 1.66 V",
    facility: usualFacility([1], ["pad"]),
    rows: along(pad, four([4.99, 4.98, 4.97, 1.66])),
  },
  {
    name: "all terms, meter unknown, 3.75 V four times",
    facility: usualFacility([1], ["pad"], {
      meters: [meter("deck", "unknown")],
      limit: { ohms: 41 },
    }),
    rows: along(pad, [
      ["pod", 3.75],
      ["pod", 3.75],
      ["pod", 3.74],
      ["pod", 3.76],
    ]),
  },
  {
    name: "all terms, a zero with times, moved and pressed readings",
    facility: usualFacility([1], ["pad"], { ...clocked, ...behind(220) }),
    rows: timed(
      along(pad, [
        ["harness", 4.08, { meter_on: true }],
        ["plate", 4.07],
        ["pod", 0],
        ["pod", 4.05, { state: "moved" }],
        ["plate", 0.09, { state: "pressed" }],
      ]),
      [0, 15, 100, 112, 130],
    ),
  },
  {
    name: "all terms, two sound circuits",
    facility: usualFacility([1], ["pad", "button"]),
    rows: [
      ...along(pad, four([5.0, 4.99, 4.98, 4.97])),
      ...along(button, four([4.98, 5.0, 4.96, 4.97])),
    ],
  },
  {
    name: "all terms, two circuits behind a contaminated plate",
    facility: usualFacility([1], ["pad", "button"]),
    rows: [
      ...along(pad, four([5.0, 4.99, 4.71, 4.7])),
      ...along(button, [
        ["harness", 4.98],
        ["plate", 4.9],
        ["pod", 4.88],
      ]),
    ],
  },
  {
    name: "all terms, one circuit stuck closed",
    facility: usualFacility([1], ["pad", "button"]),
    rows: [
      ...along(pad, [
        ["harness", 0.17],
        ["plate", 0.12],
        ["pod", 0.1],
      ]),
      ...along(button, [
        ["harness", 4.1],
        ["plate", 4.09],
        ["pod", 4.08],
      ]),
    ],
  },
  {
    name: "all terms, two points in front of a leak or of a switch stuck behind film",
    facility: usualFacility([1], ["pad", "button"], behind(220)),
    rows: [
      ...along(pad, [
        ["timer", 2.38],
        ["harness", 2.37],
      ]),
      ...along(button, [
        ["plate", 4.08],
        ["pod", 4.07],
      ]),
    ],
  },
  {
    name: "all terms, three circuits, one odd zero",
    facility: usualFacility([1, 2], ["pad", "button"]),
    rows: [
      ...along(pad, [
        ["harness", 4.99],
        ["plate", 4.98],
        ["pod", 0],
      ]),
      ...along(button, [
        ["harness", 4.98],
        ["plate", 4.97],
      ]),
      ...along(next, [
        ["harness", 4.97],
        ["plate", 4.98],
        ["pod", 4.66],
      ]),
    ],
  },
  {
    name: "all terms, three circuits, unknown load, a run of zeros",
    facility: usualFacility([1, 2], ["pad", "button"], {
      meters: [meter("deck", "unknown")],
      limit: { ohms: 41 },
    }),
    rows: [
      ...along(pad, [
        ["plate", 4.99],
        ["pod", 4.6],
      ]),
      ...along(button, [
        ["plate", 4.98],
        ["pod", 0],
      ]),
      ...along(next, [
        ["plate", 0],
        ["pod", 4.95],
      ]),
    ],
  },
];
