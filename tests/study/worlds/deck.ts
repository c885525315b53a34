import { happens, pick, type Uniform } from "./laws.ts";
import { type Circuit, connectorAt, type Layout, type Link, pathOf } from "./layout.ts";
import type { Nature, Rates } from "./nature.ts";

/** `cable` is open like `open`, but for a break in the cable in front of the connector. */
export type State = "sound" | "fouled" | "open" | "cable" | "intermittent";

export interface Contact {
  readonly circuit: Circuit;
  readonly link: Link;
  readonly connector: string;
  readonly state: State;
  /** At rest; infinite where open [ohm]. */
  readonly ohms: number;
}

/** A resistance across the pair at a point of a path, counted from 0. */
export interface Across {
  readonly kind: "stuck" | "leaking" | "wet leak";
  readonly at: number;
  readonly ohms: number;
}

export interface Path {
  readonly circuit: Circuit;
  readonly contacts: readonly Contact[];
  readonly across: readonly Across[];
}

/** Two circuits whose conductors change places in front of link `at`. */
export interface Crossing {
  readonly circuits: readonly [Circuit, Circuit];
  readonly at: number;
}

/** A deck on one day, with all that nobody there knows. */
export interface Deck {
  readonly layout: Layout;
  readonly paths: readonly Path[];
  readonly emf: number;
  readonly source: number;
  readonly load: number;
  readonly crossing: Crossing | null;
}

export function drawDeck(layout: Layout, nature: Nature, uniform: Uniform): Deck {
  const bodies = new Map<string, boolean>();
  const contaminated = (connector: string, { contaminated: chance }: Rates): boolean => {
    if (!bodies.has(connector)) bodies.set(connector, happens(uniform, chance));
    return bodies.get(connector)!;
  };
  const paths = layout.circuits.map((circuit): Path => {
    const links = pathOf(layout, circuit);
    const across = drawAcross(links, nature, uniform);
    let steady = across.length > 0 && !nature.conducting.several;
    const contacts = links.map((link) => {
      const connector = connectorAt(layout, link, circuit);
      const rates = nature.rates(link, circuit);
      const drawn = drawState(nature, rates, contaminated(connector, rates), steady, uniform);
      const state = across.length > 0 && nature.conducting.onSoundPaths ? "sound" : drawn;
      if (state === "intermittent") steady = true;
      return { circuit, link, connector, state, ohms: ohmsOf(nature, state, uniform) };
    });
    return { circuit, contacts, across };
  });
  const [emf, source, load] = [nature.emf(uniform), nature.source(uniform), nature.load(uniform)];
  return mishap({ layout, paths, emf, source, load, crossing: null }, nature, uniform);
}

/** `steady`: no contact of the circuit may come and go, because one does or the circuit conducts. */
function drawState(
  { openPerFouled, cableBreak }: Nature,
  rates: Rates,
  contaminated: boolean,
  steady: boolean,
  uniform: Uniform,
): State {
  const fouled = contaminated ? rates.fouledIfContaminated : rates.fouled;
  const parts: [State, number][] = [
    ["fouled", fouled],
    ["open", openPerFouled * fouled],
    ["cable", cableBreak],
    ["intermittent", steady ? 0 : rates.intermittent],
  ];
  let left = uniform();
  for (const [state, chance] of parts) {
    if (left < chance) return state;
    left -= chance;
  }
  return "sound";
}

function ohmsOf(nature: Nature, state: State, uniform: Uniform): number {
  if (state === "open" || state === "cable") return Number.POSITIVE_INFINITY;
  return (state === "fouled" ? nature.fouled : nature.sound)(uniform);
}

function drawAcross(links: readonly Link[], { conducting }: Nature, uniform: Uniform): Across[] {
  const last = links.length - 1;
  const wet = links.flatMap(({ wet: is }, at) => (is ? [at] : []));
  const kinds: [Omit<Across, "ohms">, number][] = [
    [{ kind: "stuck", at: last }, conducting.stuck],
    [{ kind: "leaking", at: last }, conducting.leaking],
    ...wet.map((at): [Omit<Across, "ohms">, number] => [
      { kind: "wet leak", at },
      conducting.wetLeak,
    ]),
  ];
  const drawn = (one: Omit<Across, "ohms">): Across => ({
    ...one,
    ohms: (one.kind === "stuck" ? conducting.closed : conducting.leak)(uniform),
  });
  if (conducting.several) {
    return kinds.filter(([, chance]) => happens(uniform, chance)).map(([one]) => drawn(one));
  }
  let left = uniform();
  for (const [one, chance] of kinds) {
    if (left < chance) return [drawn(one)];
    left -= chance;
  }
  return [];
}

/** Two circuits that could be taken for each other: of one lane, or the same device next door. */
export function drawPair({ paths }: Pick<Deck, "paths">, uniform: Uniform): [Path, Path] {
  for (;;) {
    const [a, b] = [pick(uniform, paths), pick(uniform, paths)];
    if (a.circuit.lane === null || b.circuit.lane === null) continue;
    const lanes = b.circuit.lane - a.circuit.lane;
    const sameDevice = a.circuit.device === b.circuit.device;
    if (lanes === 0 ? !sameDevice : lanes === 1 && sameDevice) return [a, b];
  }
}

/** What happened to the circuits themselves; what happens to the sheet is `sheet-mishaps`'. */
function mishap(deck: Deck, nature: Nature, uniform: Uniform): Deck {
  if (nature.mishap === "crossed") {
    const [a, b] = drawPair(deck, uniform);
    const at = pick(uniform, [2, 3]);
    return { ...deck, crossing: { circuits: [a.circuit, b.circuit], at } };
  }
  if (nature.mishap === "stuck" || nature.mishap === "leaking") {
    const kind = nature.mishap;
    const chosen = pick(uniform, deck.paths);
    const ohms = nature.conducting[kind === "stuck" ? "closed" : "leak"](uniform);
    const across = [{ kind, at: chosen.contacts.length - 1, ohms }];
    return { ...deck, paths: deck.paths.map((p) => (p === chosen ? { ...p, across } : p)) };
  }
  return nature.mishap === "shared-return" ? foulReturn(deck, nature, uniform) : deck;
}

/** One resistance in series with every circuit of one harness or plate connector. */
function foulReturn(deck: Deck, nature: Nature, uniform: Uniform): Deck {
  const shared = deck.paths
    .flatMap(({ contacts }) => contacts)
    .filter(({ link }) => link.kind === "harness" || link.kind === "plate");
  const { connector } = pick(uniform, shared);
  const more = nature.fouled(uniform);
  const fouled = (contact: Contact): Contact =>
    contact.connector === connector
      ? { ...contact, state: "fouled", ohms: contact.ohms + more }
      : contact;
  return {
    ...deck,
    paths: deck.paths.map((path) => ({ ...path, contacts: path.contacts.map(fouled) })),
  };
}
