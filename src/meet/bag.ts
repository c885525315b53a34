import { enough, poissonBinomial } from "../numerics/poisson-binomial.ts";
import type { PossibleRepair } from "./possible-repairs.ts";

/** What one thing in the bag is for. */
export interface BagItem {
  readonly item: string;
  readonly kind: "spare" | "consumable" | "tool";
  /** How many to carry [pieces; whole, 0 or more]. */
  readonly carry: number;
  /** Chance that at least one is needed. */
  readonly chanceNeeded: number;
  /** Chance that this many are enough. */
  readonly chanceEnough: number;
}

/** What to carry to the meet. */
export interface Bag {
  readonly items: readonly BagItem[];
  /** Chance that everything in it is enough, all together. */
  readonly chanceEnough: number;
  /** The chance that was asked for [P]. */
  readonly asked: number;
  /** Connectors whose probability is the pool file's prior, because nobody read them [whole]. */
  readonly unread: number;
}

/** Pieces used up by one event; tools are needed once or never. */
const wipesPerCleaning = 2; // one for each half
const tiesPerReplacement = 2; // one on each side
const wiresPerPod = 2; // both conductors

interface Carried {
  readonly spares: readonly number[]; // by class, in the order of the chain
  readonly plugs: number;
  readonly wires: number;
  readonly wipes: number;
  readonly ties: number;
}

/** One class of connectors, with the chances of each of its connectors. */
interface Kind {
  readonly connector: string;
  readonly sharing: PossibleRepair["sharing"];
  readonly cleaned: readonly number[];
  readonly replaced: readonly number[];
}

/**
 * Spares and tools by the probability of needing them.
 *
 * Each connector at fault is cleaned; where cleaning is not enough it is replaced as well. Given
 * the diagnosis, connectors are taken as independent, so each class's count is Poisson-binomial.
 * The chance that the whole bag is enough is exact under that model: cleanings and replacements of
 * one connector, and the wipes and ties that all classes draw on, are counted together. No single
 * piece of what is proposed can be left out without falling under what was asked.
 */
export function packBag(
  repairs: readonly PossibleRepair[],
  plugs: readonly number[],
  asked: number,
): Bag {
  const kinds = kindsOf(repairs);
  const carried = trim(firstGuess(kinds, plugs, asked), kinds, plugs, asked);
  return {
    items: itemsOf(carried, kinds, plugs),
    chanceEnough: chanceEnough(carried, kinds, plugs),
    asked,
    unread: repairs.filter((repair) => repair.from === "prior").length,
  };
}

function kindsOf(repairs: readonly PossibleRepair[]): Kind[] {
  // By name, not by point: a deck plate is no spare for a wall plate.
  const names = [...new Set(repairs.map((repair) => repair.connector))];
  return names.map((name) => {
    const of = repairs.filter((repair) => repair.connector === name);
    const first = of[0];
    if (first === undefined) throw new Error("a class without connectors");
    return {
      connector: first.connector,
      sharing: first.sharing,
      cleaned: of.map((repair) => repair.atFault),
      replaced: of.map((repair) => repair.atFault * (1 - repair.cures)),
    };
  });
}

/** Enough of each alone at a share that the union bound turns into enough of all. */
function firstGuess(kinds: readonly Kind[], plugs: readonly number[], asked: number): Carried {
  const each = 1 - (1 - asked) / (kinds.length + 4);
  const least = (probabilities: readonly number[]): number =>
    enough(poissonBinomial(probabilities), each);
  return {
    spares: kinds.map((kind) => least(kind.replaced)),
    plugs: least(plugs),
    wires: wiresPerPod * least(podsOf(kinds)),
    wipes: wipesPerCleaning * least(kinds.flatMap((kind) => kind.cleaned)),
    ties: tiesPerReplacement * least(kinds.flatMap((kind) => kind.replaced)),
  };
}

/** Leaves out piece after piece, the dearest kind first, while the bag stays enough. */
function trim(from: Carried, kinds: readonly Kind[], plugs: readonly number[], asked: number) {
  let best = from;
  for (let again = true; again; ) {
    again = false;
    for (const less of oneLess(best)) {
      if (chanceEnough(less, kinds, plugs) < asked) continue;
      best = less;
      again = true;
      break;
    }
  }
  return best;
}

function oneLess(carried: Carried): Carried[] {
  const spares = carried.spares.map((_, i) => ({
    ...carried,
    spares: carried.spares.map((n, j) => (i === j ? n - 1 : n)),
  }));
  return [
    ...spares,
    { ...carried, plugs: carried.plugs - 1 },
    { ...carried, wires: carried.wires - wiresPerPod },
    { ...carried, ties: carried.ties - tiesPerReplacement },
    { ...carried, wipes: carried.wipes - wipesPerCleaning },
  ].filter((c) => Math.min(...c.spares, c.plugs, c.wires, c.ties, c.wipes) >= 0);
}

function itemsOf(carried: Carried, kinds: readonly Kind[], plugs: readonly number[]): BagItem[] {
  const item = (
    name: string,
    kind: BagItem["kind"],
    carry: number,
    chances: readonly number[],
    per = 1,
  ): BagItem => {
    const count = poissonBinomial(chances);
    const served = kind === "tool" ? count.length : Math.floor(carry / per) + 1;
    const share = count.slice(0, served).reduce((sum, p) => sum + p, 0);
    return {
      item: name,
      kind,
      carry,
      chanceNeeded: 1 - (count[0] ?? 0),
      chanceEnough: Math.min(1, share),
    };
  };
  const cleaned = kinds.flatMap((kind) => kind.cleaned);
  const replaced = kinds.flatMap((kind) => kind.replaced);
  return [
    ...kinds.map((kind, i) =>
      item(`spare: ${kind.connector}`, "spare", carried.spares[i] ?? 0, kind.replaced),
    ),
    item("spare: pad plug", "spare", carried.plugs, plugs),
    item("wire, stripped to fit", "consumable", carried.wires, podsOf(kinds), wiresPerPod),
    item("alcohol wipe", "consumable", carried.wipes, cleaned, wipesPerCleaning),
    item("hook-and-loop tie", "consumable", carried.ties, replaced, tiesPerReplacement),
    item("contact brush", "tool", 1, cleaned),
    item("sealant, one tube", "tool", 1, replaced),
    item("wire stripper and screwdriver", "tool", 1, [...podsOf(kinds), ...plugs]),
  ];
}

const podsOf = (kinds: readonly Kind[]): number[] =>
  kinds.filter((kind) => kind.sharing === "device").flatMap((kind) => kind.replaced);

/** P(no count goes over what is carried), every dependence between the counts included. */
function chanceEnough(carried: Carried, kinds: readonly Kind[], plugs: readonly number[]): number {
  const cleanings = Math.floor(carried.wipes / wipesPerCleaning);
  const replacements = Math.floor(carried.ties / tiesPerReplacement);
  const pods = Math.floor(carried.wires / wiresPerPod);
  // Wire is counted apart only where several classes draw on it; a single one has its own limit.
  const severalPods = kinds.filter((kind) => kind.sharing === "device").length > 1;
  const size = {
    cleaned: cleanings + 1,
    replaced: replacements + 1,
    pods: severalPods ? pods + 1 : 1,
  };
  let joint = new Float64Array(size.cleaned * size.replaced * size.pods);
  joint[0] = 1;
  kinds.forEach((kind, i) => {
    const isPod = kind.sharing === "device";
    const most = Math.min(carried.spares[i] ?? 0, isPod ? pods : replacements);
    joint = addCounts(joint, size, eventsOf(kind, cleanings, most), severalPods && isPod);
  });
  const plugsEnough = poissonBinomial(plugs)
    .slice(0, carried.plugs + 1)
    .reduce((sum, p) => sum + p, 0);
  return joint.reduce((sum, p) => sum + p, 0) * plugsEnough;
}

/** One more class's counts added to the totals [cleaned, replaced, pods]; what is over is gone. */
function addCounts(
  joint: Float64Array,
  size: { readonly cleaned: number; readonly replaced: number; readonly pods: number },
  counts: readonly Float64Array[],
  countsPods: boolean,
): Float64Array<ArrayBuffer> {
  const next = new Float64Array(joint.length);
  joint.forEach((share, at) => {
    if (share === 0) return;
    const pods = at % size.pods;
    const replaced = Math.floor(at / size.pods) % size.replaced;
    const cleaned = Math.floor(at / (size.pods * size.replaced));
    const mostReplaced = Math.min(
      size.replaced - 1 - replaced,
      countsPods ? size.pods - 1 - pods : Number.POSITIVE_INFINITY,
    );
    for (let n = 0; n < counts.length && cleaned + n < size.cleaned; n += 1) {
      const row = counts[n]!;
      for (let r = 0; r < row.length && r <= mostReplaced; r += 1) {
        const pod = countsPods ? pods + r : pods;
        const to = ((cleaned + n) * size.replaced + replaced + r) * size.pods + pod;
        next[to] = (next[to] ?? 0) + share * row[r]!;
      }
    }
  });
  return next;
}

/** P(n cleaned and r of them replaced) of one class, up to the most of each that matters. */
function eventsOf(kind: Kind, mostCleaned: number, mostReplaced: number): Float64Array[] {
  const rows = Math.min(mostCleaned, kind.cleaned.length) + 1;
  const counts = Array.from({ length: rows }, () => new Float64Array(mostReplaced + 1));
  counts[0]![0] = 1;
  kind.cleaned.forEach((cleaned, i) => {
    const replaced = kind.replaced[i] ?? 0;
    for (let n = Math.min(rows - 1, i + 1); n >= 0; n -= 1) {
      const [row, before] = [counts[n]!, counts[n - 1]];
      for (let r = mostReplaced; r >= 0; r -= 1)
        row[r] =
          row[r]! * (1 - cleaned) +
          (before === undefined
            ? 0
            : before[r]! * (cleaned - replaced) + (r > 0 ? before[r - 1]! * replaced : 0));
    }
  });
  return counts;
}
