import type { Contact, Deck, Path } from "./deck.ts";
import { happens, type Law, pick, type Uniform } from "./laws.ts";
import { type Circuit, circuitName } from "./layout.ts";
import type { Nature } from "./nature.ts";
import { nodeVolts, type Step } from "./network.ts";

/** One reading as it was taken. */
export interface Taken {
  readonly circuit: Circuit;
  readonly point: string;
  readonly state: "rest" | "moved";
  /** Seconds since the walk began. */
  readonly seconds: number;
  /** The meter was switched on just before. */
  readonly switchedOn: boolean;
  /** What stands in the sheet, in steps of 0.01 V; null: no row was written [V]. */
  readonly shown: number | null;
  /** What the meter would have shown without error [V]. */
  readonly true: number;
  /** What each connector at fault on the way took from it [V]. */
  readonly lost: ReadonlyMap<string, number>;
}

/** What is measured at one point: the path as wired, and which of its nodes. */
export interface Probe {
  readonly path: Path;
  readonly at: number;
}

/** The conductors that a meter at a point of a named circuit sees: others behind a crossing. */
export function probe(deck: Deck, path: Path, at: number): Probe {
  const { crossing } = deck;
  const side = crossing?.circuits.findIndex((c) => circuitName(c) === circuitName(path.circuit));
  if (!crossing || side === undefined || side < 0) return { path, at };
  const name = circuitName(crossing.circuits[1 - side]!);
  const other = deck.paths.find(({ circuit }) => circuitName(circuit) === name)!;
  const [front, back] = at < crossing.at ? [path, other] : [other, path];
  return {
    path: {
      circuit: path.circuit,
      contacts: [...front.contacts.slice(0, crossing.at), ...back.contacts.slice(crossing.at)],
      across: [
        ...front.across.filter((one) => one.at < crossing.at),
        ...back.across.filter((one) => one.at >= crossing.at),
      ],
    },
    at,
  };
}

const isFaulty = ({ state }: Contact): boolean =>
  state === "fouled" || state === "open" || state === "intermittent";

/** A sound contact's resistance, where a fault is thought away [ohm]. */
const IF_SOUND = 0.2;

/** True volts at a probe; `series` are the contacts' ohms there and then, at rest by default. */
export function voltsAt(
  { source, load }: Deck,
  { path, at }: Probe,
  emf: number,
  series: readonly number[] = path.contacts.map(({ ohms }) => ohms),
): number {
  const steps = path.contacts.map(
    ({ link }, k): Step => ({
      series: link.wire + series[k]!,
      across: path.across.filter((one) => one.at === k).map(({ ohms }) => ohms),
    }),
  );
  return nodeVolts(emf, source, steps, load, at);
}

/** One look at a point: bad moments are drawn anew. */
function look(deck: Deck, nature: Nature, seen: Probe, moved: boolean, emf: number, u: Uniform) {
  const { path, at } = seen;
  const bad = moved ? nature.badShare.moved : nature.badShare.rest;
  const now = path.contacts.map(({ state, ohms }, k) => {
    if (state !== "intermittent" || k > at || !happens(u, bad)) return ohms;
    return happens(u, 0.7) ? ohms + nature.fouled(u) : Number.POSITIVE_INFINITY;
  });
  const volts = voltsAt(deck, seen, emf, now);
  const lost = new Map<string, number>();
  for (const [k, contact] of path.contacts.entries()) {
    if (k > at || !isFaulty(contact)) continue;
    const mended = now.map((ohms, i) => (i === k ? IF_SOUND : ohms));
    lost.set(contact.connector, voltsAt(deck, seen, emf, mended) - volts);
  }
  return { volts, lost };
}

/** In steps of 0.01 V, never under 0; now and then something else is written. */
function written(nature: Nature, error: Law, volts: number, uniform: Uniform): number {
  const shown = Math.max(0, Math.round((volts + error(uniform)) / 0.01)) / 100;
  if (!happens(uniform, nature.misread.rate)) return shown;
  if (nature.misread.how === "anywhere") return Math.floor(uniform() * 550) / 100;
  const [units, tenths, hundredths] = shown.toFixed(2).replace(".", "");
  return Number(
    happens(uniform, 0.5) ? `${tenths}.${units}${hundredths}` : `${units}.${hundredths}${tenths}`,
  );
}

/** A display that goes off by itself, and the person who may notice. */
function display({ blanks }: Nature, uniform: Uniform) {
  let off = false;
  let until = Number.NEGATIVE_INFINITY;
  /** What becomes of a reading at this moment. */
  return (seconds: number): "on" | "switched on" | "blank" | "left out" => {
    if (blanks.kind === "chance") {
      off = until > Number.NEGATIVE_INFINITY && happens(uniform, off ? blanks.stays : blanks.off);
      until = seconds;
      return off ? "blank" : "on";
    }
    const switchOn = (): "switched on" => {
      off = false;
      until = seconds + blanks.seconds(uniform);
      return "switched on";
    };
    if (off) return happens(uniform, 0.5) ? "blank" : switchOn();
    if (seconds < until) return "on";
    if (until === Number.NEGATIVE_INFINITY) return switchOn();
    off = happens(uniform, blanks.written);
    if (off) return "blank";
    const was = switchOn();
    return blanks.seen === "left out" ? "left out" : was;
  };
}

interface Visit {
  readonly path: Path;
  readonly at: number;
  readonly state: "rest" | "moved";
}

/** The order in which the points are visited. */
function visits({ paths }: Deck, { order, movedToo }: Nature): Visit[] {
  const all = paths.flatMap((path) =>
    path.contacts.flatMap((_, at): Visit[] => [
      { path, at, state: "rest" },
      ...(movedToo && at === path.contacts.length - 1
        ? [{ path, at, state: "moved" } as const]
        : []),
    ]),
  );
  return order === "by lane" ? all : all.sort((a, b) => a.at - b.at);
}

/** One walk over the deck: about 8 s a reading and 6 s more to the next circuit's lane. */
export function takeReadings(deck: Deck, nature: Nature, uniform: Uniform): Taken[] {
  const course = nature.course(uniform);
  const error = nature.error(uniform);
  const screen = display(nature, uniform);
  const route = visits(deck, nature);
  let seconds = 0;
  return route.map(({ path, at, state }, j) => {
    if (j > 0) {
      const nextDoor = path.circuit.lane !== route[j - 1]!.path.circuit.lane;
      seconds += pick(uniform, [6, 7, 8, 9, 10]) + (nextDoor ? 6 : 0);
    }
    const emf = deck.emf + course(route.length > 1 ? j / (route.length - 1) : 0.5);
    const { volts, lost } = look(
      deck,
      nature,
      probe(deck, path, at),
      state === "moved",
      emf,
      uniform,
    );
    const value = written(nature, error, volts, uniform);
    const how = happens(uniform, nature.missing) ? "left out" : screen(seconds);
    return {
      ...{ circuit: path.circuit, point: path.contacts[at]!.link.point, state, seconds },
      ...{ switchedOn: how === "switched on", true: volts, lost },
      shown: how === "left out" ? null : how === "blank" ? 0 : value,
    };
  });
}
