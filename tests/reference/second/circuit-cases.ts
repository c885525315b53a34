import {
  along,
  behind,
  button,
  facilityOf,
  harness,
  heavyTailed,
  meter,
  next,
  pad,
  plate,
  pod,
  type SecondCase,
  three,
  two,
} from "./case-builders.ts";

/** What conducts across the pair, and pressed readings. */
export const conducting: readonly SecondCase[] = [
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

/** Limits, harness groups, lanes that differ, two supplies. */
export const facilities: readonly SecondCase[] = [
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
