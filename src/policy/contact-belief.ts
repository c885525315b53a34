import { type ContactChain, type Entry, type ModeBlock, ofKind } from "./contact-chain.ts";
import type { ContactLaw, GrowthMode } from "./contact-law.ts";
import { placeOn } from "./level-grid.ts";

/** What a contact may be, with how it grows and where it stands. */
export interface BeliefPoint {
  readonly state: "conducts" | "open" | "open-for-good" | "intermittent" | "loose-for-good";
  /** P(its trouble, now or to come, is oxide, which no cleaning cures); of what conducts. */
  readonly oxide: number;
  readonly growth: Pick<GrowthMode, "kind" | "rate">;
  /** Level [ln Ω]; of no meaning where open or intermittent. */
  readonly level: number;
  readonly weight: number;
}

/** A belief about one contact: points whose weights add to 1. */
export type ContactBelief = readonly BeliefPoint[];

/** A new contact, at its floor. */
export const soundBelief = ({ modes, floor, oxide }: ContactLaw): ContactBelief =>
  modes.flatMap((growth) =>
    floor.map(({ value, weight }) => ({
      weight: growth.weight * weight,
      ...({ state: "conducts", oxide, growth, level: value } as const),
    })),
  );

/** A mode of the chain and its share of a growth that lies between two modes. */
interface ModeShare {
  readonly mode: number;
  readonly share: number;
}

/** A law's modes of one kind by their rates, none at all first. */
type Ladder = readonly { readonly index: number; readonly rate: number }[];

/** Modes that a growth lies between are looked for in these. */
interface Ladders {
  readonly flat: number;
  readonly log: Ladder;
  readonly ohm: Ladder;
}

const ladders = new WeakMap<ContactLaw, Ladders>();

function laddersOf(law: ContactLaw): Ladders {
  const known = ladders.get(law);
  if (known !== undefined) return known;
  const flat = law.modes.findIndex(({ kind }) => kind === "flat");
  const of = (kind: GrowthMode["kind"]): Ladder => {
    const own = law.modes.flatMap((mode, index) =>
      mode.kind === kind ? [{ index, rate: mode.rate }] : [],
    );
    if (own.length === 0) return own;
    return [
      ...(flat >= 0 ? [{ index: flat, rate: 0 }] : []),
      ...own.sort((a, b) => a.rate - b.rate),
    ];
  };
  const made = { flat, log: of("log"), ohm: of("ohm") };
  ladders.set(law, made);
  return made;
}

/**
 * The modes of a chain that stand for a growth: the two of its own kind on either side of its rate,
 * by distance; a chain that has no such kind stands in with the other's nearest in time.
 */
export function modesFor(
  { law }: ContactChain,
  growth: BeliefPoint["growth"],
  level: number,
): readonly ModeShare[] {
  const own = laddersOf(law);
  if (growth.kind === "flat" || growth.rate <= 0)
    return [{ mode: Math.max(0, own.flat), share: 1 }];
  const same = own[growth.kind].length > 0;
  const kind = same ? growth.kind : growth.kind === "ohm" ? "log" : "ohm";
  const ohms = Math.exp(level);
  const rate = same ? growth.rate : kind === "log" ? growth.rate / ohms : growth.rate * ohms;
  const ladder = own[kind];
  if (ladder.length === 0) return [{ mode: Math.max(0, own.flat), share: 1 }];
  const above = ladder.findIndex((each) => each.rate >= rate);
  if (above === 0) return [{ mode: ladder[0]!.index, share: 1 }];
  if (above < 0) return [{ mode: ladder.at(-1)!.index, share: 1 }];
  const [under, over] = [ladder[above - 1]!, ladder[above]!];
  const part = (rate - under.rate) / (over.rate - under.rate);
  return [
    { mode: under.index, share: 1 - part },
    { mode: over.index, share: part },
  ];
}

/** The state of a contact without a level; null where it has one. */
function otherState(block: ModeBlock, state: BeliefPoint["state"]): number | null {
  switch (state) {
    case "open":
      return block.open;
    case "open-for-good":
      return block.open + 1;
    case "intermittent":
      return block.intermittent;
    case "loose-for-good":
      return block.intermittent + 1;
    default:
      return null;
  }
}

/** The states of one age that a point stands for; their weights add to 1. */
export function statesOf(chain: ContactChain, point: BeliefPoint): readonly Entry[] {
  return modesFor(chain, point.growth, point.level).flatMap(({ mode, share }) => {
    const block = chain.blocks[mode]!;
    const other = otherState(block, point.state);
    if (other !== null) return [{ state: other, weight: share }];
    const level = placeOn(block.levels, point.level);
    const kind = placeOn(chain.kinds.oxide, point.oxide);
    return [0, 1].flatMap((k) =>
      [0, 1].map((j) => ({
        state: ofKind(block, block.start + level.index + j, kind.index + k),
        weight:
          share * (k === 1 ? kind.part : 1 - kind.part) * (j === 1 ? level.part : 1 - level.part),
      })),
    );
  });
}

/** The ages that stand for one, by distance: index and share. */
export function ageShares(
  { ages }: ContactChain,
  age: number,
): readonly { readonly index: number; readonly share: number }[] {
  const above = ages.findIndex((each) => each > age);
  if (above < 0) return [{ index: ages.length - 1, share: 1 }];
  if (above === 0) return [{ index: 0, share: 1 }];
  const part = (age - ages[above - 1]!) / (ages[above]! - ages[above - 1]!);
  return [
    { index: above - 1, share: 1 - part },
    { index: above, share: part },
  ];
}
