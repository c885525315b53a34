import {
  along,
  behind,
  button,
  facilityOf,
  harness,
  heavyTailed,
  meter,
  pad,
  plate,
  pod,
  type SecondCase,
  three,
  two,
} from "./case-builders.ts";

/** The heavy tail, open or cable, contacts that come and go. */
export const contacts: readonly SecondCase[] = [
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

/** Unknown sources and loads. */
export const nuisances: readonly SecondCase[] = [
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
