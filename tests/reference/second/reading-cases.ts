import {
  along,
  button,
  clocked,
  facilityOf,
  pad,
  type SecondCase,
  three,
  timed,
  two,
} from "./case-builders.ts";

/** What a reading is worth: tails, the noise scale, drift. */
export const readingTerms: readonly SecondCase[] = [
  {
    name: "tails: one of three repeated readings lies off",
    facility: facilityOf([1], ["pad"], two, { tails: 0.05 }),
    rows: along(pad, [
      ["plate", 4.99],
      ["pod", 4.97],
      ["pod", 4.9],
      ["pod", 4.98],
    ]),
  },
  {
    name: "noise scale: a walk twice as noisy as stated",
    facility: facilityOf([1], ["pad", "button"], two, { noise_log_sd: 0.3 }),
    rows: [
      ...along(pad, [
        ["plate", 5.03],
        ["plate", 4.92],
        ["pod", 4.91],
        ["pod", 5.0],
      ]),
      ...along(button, [
        ["pod", 4.88],
        ["pod", 4.97],
      ]),
    ],
  },
  {
    name: "drift in the order of rows",
    facility: facilityOf([1], ["pad", "button"], two, { drift_sd: 0.02 }),
    rows: [
      ...along(pad, [
        ["plate", 5.03],
        ["pod", 5.01],
        ["pod", 5.0],
      ]),
      ...along(button, [
        ["plate", 4.97],
        ["pod", 4.96],
        ["pod", 4.94],
      ]),
    ],
  },
  {
    name: "drift in the order of times, not of rows",
    facility: facilityOf([1], ["pad", "button"], two, { drift_sd: 0.02 }),
    rows: timed(
      [
        ...along(pad, [
          ["plate", 5.0],
          ["pod", 4.94],
          ["pod", 5.02],
        ]),
        ...along(button, [
          ["pod", 4.99],
          ["pod", 4.95],
        ]),
      ],
      [30, 200, 0, 90, 160],
    ),
  },
];

/** Displays that may have been off. */
export const displays: readonly SecondCase[] = [
  {
    name: "one untimed zero between good readings",
    facility: facilityOf([1], ["pad"], three, { blank: 0.0025 }),
    rows: along(pad, [
      ["harness", 4.99],
      ["plate", 0],
      ["pod", 4.97],
    ]),
  },
  {
    name: "a run of three zeros in one circuit, untimed",
    facility: facilityOf([1], ["pad"], three, { blank: 0.0025 }),
    rows: along(pad, [
      ["harness", 4.99],
      ["plate", 0],
      ["pod", 0],
      ["pod", 0],
      ["harness", 4.98],
    ]),
  },
  {
    name: "a run of zeros across two circuits, untimed",
    facility: facilityOf([1], ["pad", "button"], two, { blank: 0.0025 }),
    rows: [
      ...along(pad, [
        ["plate", 4.99],
        ["pod", 0],
      ]),
      ...along(button, [
        ["plate", 0],
        ["pod", 4.96],
      ]),
    ],
  },
  {
    name: "a run of zeros to the end of the sheet, two circuits",
    facility: facilityOf([1], ["pad", "button"], two, { blank: 0.0025, cable_break: 0.002 }),
    rows: [
      ...along(pad, [
        ["plate", 4.99],
        ["pod", 4.98],
      ]),
      ...along(button, [
        ["plate", 0],
        ["pod", 0],
      ]),
    ],
  },
  {
    name: "a timed zero, switch-on unknown",
    facility: facilityOf([1], ["pad"], three, { blank: 0.0025 }, clocked),
    rows: timed(
      along(pad, [
        ["harness", 4.99],
        ["plate", 4.98],
        ["pod", 0],
      ]),
      [0, 20, 75],
    ),
  },
  {
    name: "a timed zero soon after a marked switch-on",
    facility: facilityOf([1], ["pad"], three, { blank: 0.0025 }, clocked),
    rows: timed(
      along(pad, [
        ["harness", 4.99, { meter_on: true }],
        ["plate", 4.98],
        ["pod", 0],
      ]),
      [0, 20, 75],
    ),
  },
  {
    name: "two timed zeros long after a marked switch-on",
    facility: facilityOf([1], ["pad"], three, { blank: 0.0025 }, clocked),
    rows: timed(
      along(pad, [
        ["harness", 4.99, { meter_on: true }],
        ["plate", 4.98],
        ["pod", 0],
        ["pod", 0],
      ]),
      [0, 70, 105, 118],
    ),
  },
  {
    name: "two timed zeros, switch-on unknown, then a good reading",
    facility: facilityOf([1], ["pad", "button"], two, { blank: 0.0025 }, clocked),
    rows: timed(
      [
        ...along(pad, [
          ["plate", 4.98],
          ["pod", 0],
        ]),
        ...along(button, [
          ["plate", 0],
          ["pod", 4.95],
        ]),
      ],
      [0, 60, 85, 130],
    ),
  },
  {
    name: "a zero marked as just switched on is a true zero",
    facility: facilityOf([1], ["pad"], two, { blank: 0.0025, cable_break: 0.002 }, clocked),
    rows: timed(
      along(pad, [
        ["plate", 4.98],
        ["pod", 0],
        ["pod", 0, { meter_on: true }],
      ]),
      [0, 80, 95],
    ),
  },
];
