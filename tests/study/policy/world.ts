import { type Random, seededRandom } from "../random.ts";
import { deck, type Law, type Nature } from "./law.ts";

/** One contact as it really is. */
export interface Contact {
  nature: Nature;
  ohms: number;
  state: "conducts" | "open" | "loose" | "broken";
  /** Parts fitted so far. */
  parts: number;
}

/**
 * A stream of chance of its own for everything that may happen, so that what one policy does moves no
 * draw of another: the same pool, the same noise, the same storms.
 */
export const chanceOf = (seed: number, ...what: readonly number[]): Random => {
  let hash = seed >>> 0;
  for (const each of what) {
    hash = Math.imul(hash ^ each, 0x9e3779b1);
    hash = (hash ^ (hash >>> 15)) + 0x85ebca6b;
  }
  const random = seededRandom(hash);
  random.uniform();
  return random;
};

const logNormal = (random: Random, law: { median: number; logSd: number }): number =>
  law.median * Math.exp(law.logSd * random.normal());

/** The nature of the n-th part in a place. */
export function natureOf(law: Law, seed: number, place: number, part: number): Nature {
  const random = chanceOf(seed, 1, place, part);
  const grows = random.uniform() >= law.notGrowing;
  const rate = logNormal(random, law.rate);
  const oxide = random.chance(law.oxide);
  const floor = logNormal(random, law.floor);
  return { growth: grows ? law.growth : "none", rate: grows ? rate : 0, oxide, floor };
}

export function grownOhms({ growth, rate }: Nature, ohms: number, weeks: number): number {
  if (growth === "none") return ohms;
  return growth === "log" ? Math.min(1e6, ohms * Math.exp(rate * weeks)) : ohms + rate * weeks;
}

/** A contact whose last cleaning was up to 40 weeks ago, nobody knows when. */
export function firstContact(law: Law, seed: number, place: number): Contact {
  const nature = natureOf(law, seed, place, 0);
  const weeks = 40 * chanceOf(seed, 2, place).uniform();
  return { nature, ohms: grownOhms(nature, nature.floor, weeks), state: "conducts", parts: 1 };
}

/** One week passes for one contact. */
export function passWeek(
  law: Law,
  contact: Contact,
  seed: number,
  week: number,
  place: number,
): void {
  const random = chanceOf(seed, 3, place, week);
  const [opens, loosens, fouls, breaks] = [0, 1, 2, 3].map(() => random.uniform());
  const rise = -law.storms.rise * Math.log(1 - random.uniform());
  const storm = chanceOf(seed, 4, week).uniform() < law.storms.perWeek;
  const touched = storm && random.uniform() < law.storms.touches;
  const fouled = logNormal(random, law.fouled);
  contact.ohms = grownOhms(contact.nature, contact.ohms, 1) * (touched ? Math.exp(rise) : 1);
  if (breaks! < law.breaks) contact.state = "broken";
  if (contact.state !== "conducts") return;
  if (opens! < law.opens) contact.state = "open";
  else if (loosens! < law.loosens) contact.state = "loose";
  else if (fouls! < law.fouls) contact.ohms = Math.max(contact.ohms, fouled);
}

/** The n-th work of a week on one contact. */
export function work(
  law: Law,
  contact: Contact,
  action: "clean" | "replace",
  seed: number,
  place: number,
  time: readonly [week: number, stage: number],
): void {
  if (action === "replace") {
    contact.nature = natureOf(law, seed, place, contact.parts++);
    contact.ohms = contact.nature.floor;
    contact.state = "conducts";
    return;
  }
  const luck = chanceOf(seed, 5, place, ...time).uniform();
  if (contact.state === "open" || contact.state === "loose") {
    if (luck >= law.mend) return;
    contact.state = "conducts";
    contact.ohms = contact.nature.floor;
  } else if (contact.state === "conducts" && !contact.nature.oxide && luck < law.cure)
    contact.ohms = contact.nature.floor;
}

/** What the meter shows along one path, rounded: `[point]` [V]. */
export function readPath(path: readonly Contact[], emf: number, random: Random): readonly number[] {
  let behind = 0;
  let loose = false;
  let open = false;
  return path.map(({ ohms, state }, k) => {
    behind += deck.wires[k]! + ohms;
    open ||= state === "open" || state === "broken";
    loose ||= state === "loose";
    const [bad, how, noise, misread, any] = [0, 1, 2, 3, 4].map((n) =>
      n === 2 ? random.normal() : random.uniform(),
    );
    const extra = loose && bad! < deck.badShare ? (how! < 0.3 ? Number.POSITIVE_INFINITY : 100) : 0;
    const load = (emf * deck.loadOhms) / (deck.loadOhms + behind + extra);
    const volts = misread! < deck.misread ? any! * 5.5 : (open ? 0 : load) + deck.noise * noise!;
    return Number((Math.round(Math.max(0, volts) / 0.01) * 0.01).toFixed(2));
  });
}

/** P(the lane is lost in a meet): what the contacts of its path do together. */
export function lossInMeet(law: Law, path: readonly Contact[], limit: number): number {
  if (path.some(({ state }) => state === "open" || state === "broken")) return 1;
  const sum = path.reduce((all, { ohms }) => all + ohms, 0);
  const low = deck.lossChance * shareUnder((Math.log(sum) - Math.log(limit)) / law.scatter);
  return path.some(({ state }) => state === "loose") ? Math.max(deck.looseLoss, low) : low;
}

/** P(Z < z): Abramowitz and Stegun 26.2.17, good to 1e-7. */
export function shareUnder(z: number): number {
  const t = 1 / (1 + 0.2316419 * Math.abs(z));
  const series =
    t *
    (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  const tail = (Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI)) * series;
  return z > 0 ? 1 - tail : tail;
}
