import {
  along,
  facilityOf,
  harness,
  heavyTailed,
  meter,
  plate,
  pod,
  type SecondCase,
  timed,
  usualFacility,
} from "./case-builders.ts";
import type { FacilityText, RowText } from "./facility-text.ts";

const pad = [1, "pad"] as const;
const button = [1, "button"] as const;
const next = [2, "pad"] as const;
const two = [plate, pod];
const three = [harness, plate, pod];

const offAfter = { off_after: [90, 120] } as const;
const clocked: Partial<FacilityText> = { meters: [meter("deck", 1000, offAfter)] };
const behind = (ohms: number | "unknown"): Partial<FacilityText> => ({
  supplies: [{ name: "A", emf: 5, emf_sd: 0.05, source_ohms: ohms }],
});

const readingTerms: readonly SecondCase[] = [
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

const displays: readonly SecondCase[] = [
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

const contacts: readonly SecondCase[] = [
  {
    name: "heavy tail: a single pod of 1.66 V",
    facility: facilityOf([1], ["pad"], three, {}, heavyTailed),
    rows: along(pad, [["pod", 1.66]]),
  },
  {
    name: "heavy tail: 0.09 V behind good points",
    facility: facilityOf([1], ["pad"], three, {}, heavyTailed),
    rows: along(pad, [
      ["harness", 4.98],
      ["plate", 4.99],
      ["pod", 0.09],
      ["pod", 0.1],
    ]),
  },
  {
    name: "connector open or cable broken",
    facility: facilityOf([1], ["pad", "button"], two, { cable_break: 0.002 }),
    rows: [
      ...along(pad, [
        ["plate", 0],
        ["pod", 0],
        ["pod", 0],
      ]),
      ...along(button, [["plate", 4.98]]),
    ],
  },
  {
    name: "comes and goes: 4.98, 2.10, 4.97 at one pod",
    facility: facilityOf(
      [1],
      ["pad"],
      [plate, { ...pod, intermittent: 0.02 }],
      { intermittent: 0.005 },
      heavyTailed,
    ),
    rows: along(pad, [
      ["plate", 4.99],
      ["pod", 4.98],
      ["pod", 2.1],
      ["pod", 4.97],
    ]),
  },
  {
    name: "comes and goes while the plug is moved",
    facility: facilityOf(
      [1],
      ["pad"],
      [
        { ...harness, intermittent: 0.005 },
        { ...plate, intermittent: 0.005 },
        { ...pod, intermittent: 0.02 },
      ],
      { intermittent: 0.005 },
      heavyTailed,
    ),
    rows: along(pad, [
      ["harness", 4.99],
      ["plate", 4.99],
      ["plate", 4.31, { state: "moved" }],
      ["pod", 4.97],
      ["pod", 0, { state: "moved" }],
    ]),
  },
  {
    name: "comes and goes at a shared plate: two circuits, two moments",
    facility: facilityOf(
      [1],
      ["pad", "button"],
      [{ ...plate, intermittent: 0.02 }, pod],
      { intermittent: 0.02 },
      heavyTailed,
    ),
    rows: [
      ...along(pad, [
        ["plate", 4.4],
        ["pod", 4.97],
        ["pod", 4.98],
      ]),
      ...along(button, [
        ["plate", 4.98],
        ["pod", 3.2],
        ["plate", 4.99],
      ]),
    ],
  },
];

const nuisances: readonly SecondCase[] = [
  {
    name: "unknown source, a sound pool",
    facility: facilityOf([1], ["pad", "button"], two, {}, behind("unknown")),
    rows: [
      ...along(pad, [
        ["plate", 4.09],
        ["pod", 4.08],
      ]),
      ...along(button, [
        ["plate", 4.1],
        ["pod", 4.08],
      ]),
    ],
  },
  {
    name: "unknown source, one low pod",
    facility: facilityOf([1], ["pad", "button"], two, {}, { ...heavyTailed, ...behind("unknown") }),
    rows: [
      ...along(pad, [
        ["plate", 4.4],
        ["pod", 3.9],
      ]),
      ...along(button, [
        ["plate", 4.39],
        ["pod", 4.4],
      ]),
    ],
  },
  {
    name: "unknown load, a sound path",
    facility: facilityOf([1], ["pad"], two, {}, { meters: [meter("deck", "unknown")] }),
    rows: along(pad, [
      ["plate", 4.99],
      ["pod", 4.98],
    ]),
  },
  {
    name: "unknown load, one low pod",
    facility: facilityOf(
      [1],
      ["pad"],
      two,
      {},
      { ...heavyTailed, meters: [meter("deck", "unknown")] },
    ),
    rows: along(pad, [
      ["plate", 4.98],
      ["pod", 4.42],
      ["pod", 4.44],
    ]),
  },
  {
    name: "ten megohms, four agreeing readings of 3.75 V",
    facility: facilityOf(
      [1],
      ["pad"],
      three,
      {},
      { ...heavyTailed, meters: [meter("deck", 10e6)] },
    ),
    rows: along(pad, [
      ["pod", 3.75],
      ["pod", 3.75],
      ["pod", 3.74],
      ["pod", 3.76],
    ]),
  },
  {
    name: "two meters at the same points, one load unknown",
    facility: facilityOf(
      [1],
      ["pad"],
      two,
      {},
      { ...heavyTailed, meters: [meter("deck", 1000), meter("spare", "unknown")] },
    ),
    rows: [
      ...along(pad, [
        ["plate", 4.98],
        ["pod", 4.2],
      ]),
      ...along(
        pad,
        [
          ["plate", 4.97],
          ["pod", 2.45],
        ],
        { meter: "spare" },
      ),
    ],
  },
  {
    name: "two meters at the same points, both loads unknown",
    facility: facilityOf(
      [1],
      ["pad"],
      two,
      {},
      { ...heavyTailed, meters: [meter("deck", "unknown"), meter("spare", "unknown")] },
    ),
    rows: [
      ...along(pad, [
        ["plate", 4.98],
        ["pod", 4.97],
      ]),
      ...along(
        pad,
        [
          ["plate", 4.96],
          ["pod", 3.4],
        ],
        { meter: "spare" },
      ),
    ],
  },
];

const conducting: readonly SecondCase[] = [
  {
    name: "a switch stuck closed behind a known source",
    facility: facilityOf([1], ["pad", "button"], two, { stuck: 0.005 }, behind(220)),
    rows: [
      ...along(pad, [
        ["plate", 0.11],
        ["pod", 0.07],
      ]),
      ...along(button, [
        ["plate", 4.08],
        ["pod", 4.1],
      ]),
    ],
  },
  {
    name: "a switch stuck closed behind an unknown source",
    facility: facilityOf(
      [1],
      ["pad", "button"],
      two,
      { stuck: 0.005 },
      { ...heavyTailed, ...behind("unknown") },
    ),
    rows: [
      ...along(pad, [
        ["plate", 0.12],
        ["pod", 0.05],
      ]),
      ...along(button, [["plate", 4.08]]),
    ],
  },
  {
    name: "a leaking pad",
    facility: facilityOf([1], ["pad", "button"], two, { leaking: 0.01 }, behind(220)),
    rows: [
      ...along(pad, [
        ["plate", 3.78],
        ["pod", 3.77],
      ]),
      ...along(button, [
        ["plate", 4.09],
        ["pod", 4.08],
      ]),
    ],
  },
  {
    name: "water across the plate, a reading behind it",
    facility: facilityOf(
      [1],
      ["pad", "button"],
      three,
      { wet_leak: 0.003, leaking: 0.01 },
      behind(220),
    ),
    rows: [
      ...along(pad, [
        ["harness", 3.62],
        ["plate", 3.61],
        ["pod", 3.6],
      ]),
      ...along(button, [
        ["harness", 4.1],
        ["plate", 4.08],
      ]),
    ],
  },
  {
    name: "water in the plate or an open pod behind it",
    facility: facilityOf(
      [1],
      ["pad"],
      two,
      { wet_leak: 0.003 },
      { ...heavyTailed, ...behind(220) },
    ),
    rows: along(pad, [
      ["plate", 3.5],
      ["pod", 0],
      ["pod", 0.01],
    ]),
  },
  {
    name: "a pressed reading on a sound path",
    facility: facilityOf([1], ["pad"], three, {}, behind(220)),
    rows: along(pad, [
      ["harness", 4.09],
      ["pod", 4.07],
      ["harness", 0.12, { state: "pressed" }],
    ]),
  },
  {
    name: "pressed readings behind a fouled plate",
    facility: facilityOf([1], ["pad"], three, {}, { ...heavyTailed, ...behind(220) }),
    rows: along(pad, [
      ["harness", 4.08],
      ["pod", 3.85],
      ["harness", 1.29, { state: "pressed" }],
      ["plate", 0.06, { state: "pressed" }],
    ]),
  },
  {
    name: "pressed and leaking at once",
    facility: facilityOf([1], ["pad"], two, { leaking: 0.01, wet_leak: 0.003 }, behind(220)),
    rows: along(pad, [
      ["plate", 3.7],
      ["pod", 3.71],
      ["plate", 0.08, { state: "pressed" }],
    ]),
  },
];

const facilities: readonly SecondCase[] = [
  {
    name: "a limit in volts on a named meter of 300 ohm",
    facility: facilityOf(
      [1],
      ["pad"],
      three,
      {},
      {
        meters: [meter("deck", 1000), meter("bench", 300)],
        limit: { volts: 4.4, meter: "bench" },
      },
    ),
    rows: along(pad, [
      ["harness", 4.99],
      ["plate", 4.81],
      ["pod", 4.79],
    ]),
  },
  {
    name: "a limit in ohms, the path close to it",
    facility: facilityOf([1], ["pad"], three, {}, { limit: { ohms: 25 } }),
    rows: along(pad, [
      ["harness", 5.0],
      ["plate", 4.93],
      ["pod", 4.87],
    ]),
  },
  {
    name: "harness groups of two lanes, three circuits",
    facility: facilityOf(
      [1, 2, 3, 4],
      ["pad"],
      [
        {
          ...harness,
          shared_by: [
            [1, 2],
            [3, 4],
          ],
        },
        pod,
      ],
    ),
    rows: [
      ...along(
        [1, "pad"],
        [
          ["harness", 4.7],
          ["pod", 4.68],
        ],
      ),
      ...along(
        [2, "pad"],
        [
          ["harness", 4.85],
          ["pod", 4.86],
        ],
      ),
      ...along(
        [3, "pad"],
        [
          ["harness", 4.97],
          ["pod", 4.98],
        ],
      ),
    ],
  },
  {
    name: "wall plate in one lane, deck plate in the other, a device without pod",
    facility: facilityOf(
      [1, 2],
      ["pad", "horn"],
      [
        harness,
        { ...plate, only: { lanes: [1] } },
        {
          ...plate,
          connector: "deck plate",
          contaminated: 0.2,
          wire_ohms: 3,
          only: { lanes: [2] },
        },
        { ...pod, except: { devices: ["horn"] } },
      ],
    ),
    rows: [
      ...along(
        [1, "horn"],
        [
          ["harness", 4.98],
          ["plate", 4.83],
        ],
      ),
      ...along([2, "horn"], [["plate", 4.92]]),
      ...along(
        [2, "pad"],
        [
          ["plate", 4.86],
          ["pod", 4.85],
        ],
      ),
    ],
  },
  {
    name: "two supplies, one of them low",
    facility: facilityOf(
      [1, 2],
      ["pad"],
      two,
      {},
      {
        supplies: [
          { name: "A", emf: 5, emf_sd: 0.05, source_ohms: 0, lanes: [1] },
          { name: "B", emf: 5.1, emf_sd: 0.08, source_ohms: 20, lanes: [2] },
        ],
      },
    ),
    rows: [
      ...along(pad, [
        ["plate", 4.99],
        ["pod", 4.97],
      ]),
      ...along(next, [
        ["plate", 4.83],
        ["pod", 4.79],
      ]),
    ],
  },
];

const firstModel: readonly SecondCase[] = [
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

const pairs: readonly SecondCase[] = [
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

const four = (volts: readonly number[], more: Partial<RowText> = {}) =>
  (["timer", "harness", "plate", "pod"] as const).map(
    (point, i) => [point, volts[i]!, more] as const,
  );

const together: readonly SecondCase[] = [
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
        ["harness", 0.16],
        ["plate", 0.12],
        ["pod", 0.06],
      ]),
      ...along(button, [
        ["harness", 4.1],
        ["plate", 4.09],
        ["pod", 4.08],
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

/** Every case, in the order in which the answers are stored. */
export const secondCases: readonly SecondCase[] = [
  ...readingTerms,
  ...displays,
  ...contacts,
  ...nuisances,
  ...conducting,
  ...facilities,
  ...firstModel,
  ...pairs,
  ...together,
];
