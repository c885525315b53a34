import { type Random, seededRandom } from "./random.ts";

/**
 * Invented pools and what really happens to their contacts, for the study of dates. Nothing here
 * comes from the model that is studied: floors, rates, steps and ages have laws of their own.
 */
export type WorldName = "fresh" | "unknown" | "linear" | "steps" | "idle" | "nothing";

/** A value that was written down. */
export interface WrittenValue {
  readonly day: number;
  readonly lane: number;
  readonly point: string;
  readonly volts: number;
}

/** A connector of one lane that was cleaned. */
export interface WrittenWork {
  readonly day: number;
  readonly lane: number;
  readonly point: string;
}

/** One season with its truth. */
export interface WorldSeason {
  readonly lanes: readonly number[];
  readonly points: readonly { readonly point: string; readonly wireOhms: number }[];
  readonly values: readonly WrittenValue[];
  readonly works: readonly WrittenWork[];
  /** Weeks after the last walk until each lane's path is over the limit; infinite: not in five years. */
  readonly weeksLeft: readonly number[];
  /** Nothing on the lane's path grows, and no step ever takes it over its limit. */
  readonly neverFalls: readonly boolean[];
}

export const LIMIT_VOLTS = 4.8;
const LOAD = 1000;
const LIMIT_OHMS = LOAD * (5 / LIMIT_VOLTS - 1);
const POINTS = [
  { point: "timer", wireOhms: 0.1 },
  { point: "harness", wireOhms: 0.6 },
  { point: "plate", wireOhms: 2 },
  { point: "pod", wireOhms: 0.3 },
];
const LANES = [1, 2, 3, 4, 5, 6];
const FIVE_YEARS = 260;
const DAY = 1 / 7;

interface Contact {
  ohms: number;
  /** Of itself a week, or ohms a week. */
  readonly rate: number;
  readonly bad: boolean;
}

/** Gamma of whole shape and mean 1: the sum of exponentials. */
const gamma = (shape: number, { uniform }: Random): number => {
  let sum = 0;
  for (let i = 0; i < shape; i++) sum -= Math.log(1 - uniform());
  return sum / shape;
};
const between = (low: number, high: number, { uniform }: Random): number =>
  low * (high / low) ** uniform();
const clean = ({ uniform }: Random): number => 0.08 + 0.2 * (-Math.log(1 - uniform())) ** 1.3;

/** A pool's habits: which weeks it is closed, when storms come; drawn on and on. */
class Calendar {
  readonly #random: Random;
  readonly #world: WorldName;
  readonly idleFactor: number;
  #closedFrom: number;
  #closedTo: number;
  #storm: number;
  readonly #every: number;
  constructor(world: WorldName, random: Random) {
    this.#random = random;
    this.#world = world;
    this.idleFactor = between(0.15, 3, random);
    this.#every = between(7, 14, random);
    this.#closedFrom = 2 + this.#every * random.uniform();
    this.#closedTo = this.#closedFrom + 3 + 4 * random.uniform();
    this.#storm = -12 * Math.log(1 - random.uniform());
  }
  closed(week: number): boolean {
    if (this.#world !== "idle") return false;
    while (week >= this.#closedTo) {
      this.#closedFrom = this.#closedTo + this.#every * (0.5 + this.#random.uniform());
      this.#closedTo = this.#closedFrom + 3 + 4 * this.#random.uniform();
    }
    return week >= this.#closedFrom;
  }
  storm(week: number): boolean {
    if (this.#world !== "steps" || week < this.#storm) return false;
    this.#storm = week - 12 * Math.log(1 - this.#random.uniform());
    return true;
  }
}

function live(
  contacts: readonly Contact[][],
  calendar: Calendar,
  week: number,
  linear: boolean,
  random: Random,
): void {
  const pace = DAY * (calendar.closed(week) ? calendar.idleFactor : 1);
  const storm = calendar.storm(week);
  for (const path of contacts)
    for (const contact of path) {
      if (linear) contact.ohms += contact.rate * pace;
      else contact.ohms *= Math.exp(contact.rate * pace);
      if (storm && random.chance(0.4)) contact.ohms *= 1.2 + 1.1 * random.uniform();
    }
}

function invent(world: WorldName, fresh: boolean, random: Random): Contact[][] {
  const classes = POINTS.map(() => ({
    share: world === "nothing" ? 0 : 0.15 + 0.6 * random.uniform(),
    usual: world === "linear" ? between(0.35, 1.5, random) : between(0.06, 0.16, random),
  }));
  return LANES.map(() =>
    classes.map(({ share, usual }): Contact => {
      const rate = random.chance(share) ? usual * gamma(6, random) : 0;
      const bad = random.chance(0.06);
      const age = fresh ? DAY : 52 * random.uniform();
      const floor = bad && !fresh && rate === 0 ? between(4, 30, random) : clean(random);
      const ohms = world === "linear" ? floor + rate * age : floor * Math.exp(rate * age);
      return { ohms: Math.min(ohms, 60), rate, bad };
    }),
  );
}

/** One walk: a meter of 10 mV steps that is now and then misread or asleep. */
function walk(
  contacts: readonly Contact[][],
  day: number,
  emf: number,
  noise: number,
  random: Random,
  values: WrittenValue[],
): number[] {
  const supply = emf + 0.008 * random.normal();
  return contacts.map((path, l) => {
    let series = 0;
    let last = 0;
    path.forEach(({ ohms }, k) => {
      series += POINTS[k]!.wireOhms + ohms * (1 + 0.12 * (2 * random.uniform() - 1));
      const shown = (supply * LOAD) / (LOAD + series) + noise * random.normal();
      last = Math.round(100 * shown) / 100;
      if (random.chance(0.003)) last = Math.round(550 * random.uniform()) / 100;
      if (random.chance(0.0025)) last = 0;
      values.push({ day, lane: LANES[l]!, point: POINTS[k]!.point, volts: last });
    });
    return last;
  });
}

/** Lets the pool live on to its end: weeks until each path is over the limit. */
function liveOn(
  contacts: readonly Contact[][],
  calendar: Calendar,
  from: number,
  linear: boolean,
  random: Random,
): number[] {
  const copper = POINTS.reduce((sum, { wireOhms }) => sum + wireOhms, 0);
  const over = (path: readonly Contact[]): boolean =>
    path.reduce((sum, { ohms }) => sum + ohms, copper) > LIMIT_OHMS;
  const left = contacts.map((path) => (over(path) ? 0 : Number.POSITIVE_INFINITY));
  for (let day = 1; day <= 7 * FIVE_YEARS; day++) {
    live(contacts, calendar, from + day / 7, linear, random);
    contacts.forEach((path, l) => {
      if (left[l] === Number.POSITIVE_INFINITY && over(path)) left[l] = day / 7;
    });
  }
  return left;
}

/** One season of some half a year to nine months, a walk every week or two while the pool is open. */
export function inventSeason(world: WorldName, seed: number): WorldSeason {
  const random = seededRandom(7919 * seed + 13 * world.length + world.charCodeAt(0));
  const fresh = world === "fresh" || (world !== "unknown" && random.chance(0.5));
  const linear = world === "linear";
  const contacts = invent(world, fresh, random);
  const calendar = new Calendar(world, random);
  const [emf, noise] = [5 + 0.03 * random.normal(), between(0.008, 0.022, random)];
  const every = random.chance(0.5) ? 7 : 14;
  const lastDay = 7 * Math.round(between(24, 42, random));
  const values: WrittenValue[] = [];
  const works: WrittenWork[] = [];
  if (fresh)
    for (const lane of LANES) for (const { point } of POINTS) works.push({ day: -1, lane, point });
  let lastWalk = 0;
  for (let day = 0; day <= lastDay; day++) {
    if (day > 0) live(contacts, calendar, day / 7, linear, random);
    if (calendar.closed(day / 7) || (day > 0 && day - lastWalk < every)) continue;
    lastWalk = day;
    const ends = walk(contacts, day, emf, noise, random, values);
    if (day + every > lastDay) break;
    ends.forEach((volts, l) => {
      if (volts > LIMIT_VOLTS || volts === 0 || random.chance(0.4)) return;
      const worst = contacts[l]!.reduce((a, b) => (b.ohms > a.ohms ? b : a));
      const point = POINTS[contacts[l]!.indexOf(worst)]!.point;
      works.push({ day, lane: LANES[l]!, point });
      if (!worst.bad) worst.ohms = clean(random);
    });
  }
  const grows = contacts.map((path) => path.some(({ rate }) => rate > 0));
  const weeksLeft = liveOn(contacts, calendar, lastWalk / 7, linear, random);
  return {
    lanes: LANES,
    points: POINTS,
    values,
    works,
    weeksLeft,
    neverFalls: grows.map((any, l) => !any && weeksLeft[l] === Number.POSITIVE_INFINITY),
  };
}
