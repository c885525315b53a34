import { type Random, seededRandom } from "../tests/study/random.ts";

/**
 * The invented season of Kestrel Bay: ten walks, a few things that really go wrong, and the work
 * that was done. Everything follows from the seed, so that the files can be made again.
 */

export const lanes = [1, 2, 3, 4, 5, 6, 7, 8] as const;
export const devices = ["touchpad", "button-1", "button-2"] as const;
export const points = ["timer", "trunk", "harness", "plate", "pod"] as const;
/** The start's line belongs to no lane and has points of its own. */
export const startLine = { device: "start", points: ["timer", "start"] } as const;
/** Lane 8 has one button only. */
const missing = { lane: 8, device: "button-2" } as const;
type Device = (typeof devices)[number];
type Point = (typeof points)[number];

export const walkDays = [
  "2026-01-10",
  "2026-01-24",
  "2026-02-07",
  "2026-02-21",
  "2026-03-07",
  "2026-03-21",
  "2026-04-04",
  "2026-04-11",
  "2026-04-18",
  "2026-05-02",
] as const;

/** Weeks since the first walk. */
const weekOf = (day: string): number =>
  (Date.parse(day) - Date.parse(walkDays[0])) / (7 * 24 * 3600 * 1000);

/** One contact whose resistance has a story; every other contact is sound and drifts a little. */
interface Story {
  readonly lane: number;
  readonly device: Device;
  readonly point: Exclude<Point, "trunk">;
  /** Resistance on a day [ohm]; infinite where open. */
  readonly ohms: (day: string) => number;
}

/** Grows by `perWeek` in its logarithm from `floor` ohms on `since`. */
const film = (floor: number, perWeek: number, since: string) => (day: string) =>
  floor * Math.exp(perWeek * (weekOf(day) - weekOf(since)));

/** What holds on a day: the last of the courses that has begun. */
const courses =
  (list: readonly (readonly [from: string, ohms: (day: string) => number])[]) =>
  (day: string): number =>
    list.findLast(([from]) => from <= day)![1](day);

const constant = (ohms: number) => () => ohms;

/** What goes wrong at Kestrel Bay, each course starting with a work or a mishap. */
const stories: readonly Story[] = [
  {
    // A plate contact fouls over weeks, is cleaned on 5 April, and holds.
    lane: 1,
    device: "touchpad",
    point: "plate",
    ohms: courses([
      [walkDays[0], film(5, 0.24, walkDays[0])],
      ["2026-04-05", film(1.5, 0.03, "2026-04-05")],
    ]),
  },
  {
    // A pod oxidises: cleaned on 8 February and 22 March, it comes back dearer each time.
    lane: 3,
    device: "touchpad",
    point: "pod",
    ohms: courses([
      [walkDays[0], film(32, 0.14, walkDays[0])],
      ["2026-02-08", film(26, 0.17, "2026-02-08")],
      ["2026-03-22", film(58, 0.13, "2026-03-22")],
    ]),
  },
  {
    // A pod with a film that a cleaning cures.
    lane: 8,
    device: "touchpad",
    point: "pod",
    ohms: courses([
      [walkDays[0], film(12, 0.15, walkDays[0])],
      ["2026-03-08", film(0.8, 0.05, "2026-03-08")],
    ]),
  },
  // Water gets into lane 6's harness connector in April: several circuits suffer at once.
  ...(
    [
      ["touchpad", 46],
      ["button-1", 92],
      ["button-2", 21],
    ] as const
  ).map(
    ([device, wet]): Story => ({
      lane: 6,
      device,
      point: "harness",
      ohms: courses([
        [walkDays[0], constant(0.3)],
        ["2026-04-10", film(wet, 0.05, "2026-04-10")],
      ]),
    }),
  ),
  {
    // A wire pulled out of lane 7's plate connector during a meet in mid April.
    lane: 7,
    device: "button-2",
    point: "plate",
    ohms: courses([
      [walkDays[0], constant(0.4)],
      ["2026-04-16", constant(Number.POSITIVE_INFINITY)],
    ]),
  },
];

/** One reading as it was written down. */
export interface WrittenReading {
  readonly lane: string;
  readonly device: string;
  readonly point: string;
  readonly volts: string;
  readonly takenAt: string;
  readonly meterOn: string;
  readonly by: string;
  readonly note: string;
}

const wireOhms: Readonly<Record<Point, number>> = {
  timer: 0.1,
  trunk: 0,
  harness: 0.6,
  plate: 2,
  pod: 0.3,
};
/** Copper of the start's line up to its plug [ohm], and its contacts. */
const startOhms = { timer: 0.1 + 0.2, start: 0.5 + 0.25 } as const;
const loadOhms = 1000;
const noiseVolts = 0.02;
const secondsPerReading = 8;
const secondsPerLane = 6;

const clock = (day: string, seconds: number): string => {
  const start = 6 * 3600 + 40 * 60;
  return new Date(Date.parse(`${day}T00:00:00Z`) + (start + seconds) * 1000)
    .toISOString()
    .slice(0, 19);
};

/** Forgotten marks: on 7 March the meter was switched on for lane 5 once, and ran out on the way. */
const forgotten = { day: "2026-03-07", lane: 5, readingsUntilOff: 8 };

const storyKey = (lane: number, device: string, point: string): string =>
  `${lane} ${device} ${point}`;

const writeWalk = (
  day: string,
  random: Random,
  /** For what the first version of the season did not have: its draws stay as they were. */
  added: Random,
  ohmsOf: (lane: number, device: Device, point: Point) => number,
): WrittenReading[] => {
  const emf = 5 + 0.015 * random.normal();
  const show = (series: number, of: Random): number =>
    Math.max(0, (emf * loadOhms) / (loadOhms + series) + noiseVolts * of.normal());
  const by = walkDays.indexOf(day as (typeof walkDays)[number]) % 3 === 1 ? "TM" : "RK";
  let seconds = 0;
  const ofLanes = lanes.flatMap((lane) => {
    seconds += secondsPerLane;
    const forgot = day === forgotten.day && lane === forgotten.lane;
    return devices.flatMap((device, d) => {
      let series = 0;
      return points.map((point, k): WrittenReading => {
        const own = point === "trunk" ? added : random;
        series += wireOhms[point] + ohmsOf(lane, device, point);
        seconds += secondsPerReading + Math.round(own.normal());
        const shown = show(series, own);
        const off = forgot && d * points.length + k >= forgotten.readingsUntilOff;
        return {
          lane: String(lane),
          device,
          point,
          volts: off ? "0" : shown.toFixed(2),
          takenAt: clock(day, seconds),
          meterOn: k === 0 && !(forgot && d > 0) ? "yes" : "",
          by,
          note: "",
        };
      });
    });
  });
  seconds += secondsPerLane;
  let series = 0;
  const ofStart = startLine.points.map((point, k): WrittenReading => {
    series += startOhms[point];
    seconds += secondsPerReading + Math.round(added.normal());
    return {
      lane: "none",
      device: startLine.device,
      point,
      volts: show(series, added).toFixed(2),
      takenAt: clock(day, seconds),
      meterOn: k === 0 ? "yes" : "",
      by,
      note: "",
    };
  });
  return [...ofLanes, ...ofStart];
};

/** Slips of the pen: what was written in place of what. The first of them looks like a voltage. */
const slips: readonly (readonly [day: string, at: string, change: Partial<WrittenReading>])[] = [
  ["2026-02-21", storyKey(4, "button-1", "plate"), { volts: "4.49" }],
  ["2026-01-24", storyKey(2, "touchpad", "harness"), { volts: "49.1" }],
  ["2026-03-21", storyKey(5, "button-2", "plate"), { point: "palte" }],
  ["2026-04-11", storyKey(1, "button-1", "pod"), { lane: "11" }],
  ["2026-05-02", storyKey(2, "button-2", "harness"), { volts: "4,9l" }],
  ["2026-05-02", storyKey(7, "button-2", "plate"), { note: "dead, tried twice" }],
];

/** The season's readings in the order in which they were taken. */
export const demoReadings = (seed: number): WrittenReading[] => {
  const random = seededRandom(seed);
  const added = seededRandom(seed + 1);
  const soundOhms = new Map<string, number>();
  for (const lane of lanes) {
    for (const device of devices) {
      for (const point of points) {
        const own = point === "trunk" ? added : random;
        const drawn = 0.2 * Math.exp(0.6 * own.normal());
        soundOhms.set(storyKey(lane, device, point), drawn);
      }
    }
  }
  return walkDays.flatMap((day) => {
    const ohmsOf = (lane: number, device: Device, point: Point): number => {
      const story = stories.find(
        (s) => s.lane === lane && s.device === device && s.point === point,
      );
      const sound = soundOhms.get(storyKey(lane, device, point)) ?? 0;
      return story ? story.ohms(day) : sound * Math.exp(0.02 * weekOf(day));
    };
    const written = writeWalk(day, random, added, ohmsOf).filter(
      ({ lane, device }) => lane !== String(missing.lane) || device !== missing.device,
    );
    return written.map((reading) => {
      const here = storyKey(Number(reading.lane), reading.device, reading.point);
      const slip = slips.find(([on, at]) => on === day && at === here);
      return slip ? { ...reading, ...slip[2] } : reading;
    });
  });
};
