import type { Step } from "../domain/courses.ts";
import { expectedAt } from "./carry.ts";
import type { ClassPolicy, Stage } from "./class-policy.ts";
import { type BeliefPoint, type ContactBelief, statesOf } from "./contact-belief.ts";
import { type ContactChain, type Entry, oxideAfterFailure } from "./contact-chain.ts";
import { StepTables } from "./step-tables.ts";

/** One contact of a connector: how its class is kept, and what is believed of it. */
export interface HeldContact {
  readonly policy: ClassPolicy;
  /** The same at the price that a failure has once this contact is good again. */
  readonly cured: ClassPolicy;
  readonly belief: ContactBelief;
  /** What the other contacts of its path have over sound ones: it stays when this one is cured [Ω]. */
  readonly excess: number;
}

/** What a step costs a contact, work's price left out: `[step][share][point of its belief]`. */
export type PointCosts = Readonly<Record<Step, readonly Float64Array[]>>;

/** A level as the path feels it: with what the others of the path have over sound ones. */
const felt = (level: number, excess: number): number =>
  excess > 0 ? Math.log(Math.exp(level) + excess) : level;

/** Tables of pairs of policies, laid out once. */
const tables = new WeakMap<ClassPolicy, WeakMap<ClassPolicy, Map<string, StepTables>>>();

function tablesOf({ policy, cured }: HeldContact, ageWeeks: number, stage: Stage): StepTables {
  const pairs = tables.get(policy) ?? new WeakMap<ClassPolicy, Map<string, StepTables>>();
  tables.set(policy, pairs);
  const own = pairs.get(cured) ?? new Map<string, StepTables>();
  pairs.set(cured, own);
  const key = `${stage} ${ageWeeks}`;
  const made = own.get(key) ?? new StepTables(policy, cured, ageWeeks, stage);
  own.set(key, made);
  return made;
}

/** What each step costs from each point of a contact's belief. */
export function pointCosts(contact: HeldContact, ageWeeks: number, stage: Stage): PointCosts {
  const { policy, cured, belief, excess } = contact;
  const at = tablesOf(contact, ageWeeks, stage);
  const shares = policy.byShare.length;
  const points = belief.map((point) => ({ ...point, level: felt(point.level, excess) }));
  const wait = points.map((point) => waitingAt(at, point, shares));
  const clean = points.map((point, k) => cleanedAt(at, point, wait[k]!, excess));
  const fresh = at.fresh.get(excess) ?? freshCosts(cured, at.chain, excess);
  at.fresh.set(excess, fresh);
  const byShare = (each: readonly Float64Array[]): readonly Float64Array[] =>
    policy.byShare.map((_, n) => Float64Array.from(each, (values) => values[n]!));
  return {
    wait: byShare(wait),
    clean: byShare(clean),
    replace: fresh.map((cost) => new Float64Array(belief.length).fill(cost)),
  };
}

/** What waiting costs from a point, by shares of the price. */
function waitingAt(at: StepTables, point: BeliefPoint, shares: number): Float64Array {
  if (point.state !== "conducts") return at.ofStates(statesOf(at.chain, point), "wait");
  const sums = new Float64Array(shares);
  at.add("wait", point.growth, point.oxide, point.level, 1, sums);
  return sums;
}

/** What a cleaning of a point leads to, its price left out: cured and not. */
function cleanedAt(
  at: StepTables,
  point: BeliefPoint,
  waiting: Float64Array,
  excess: number,
): Float64Array {
  const { law } = at.chain;
  const { state, growth, level } = point;
  const sums = new Float64Array(waiting.length);
  const toFloor = (oxide: number, weight: number): void => {
    for (const { value, weight: share } of law.floor)
      at.add("cured", growth, oxide, felt(value, excess), weight * share, sums);
  };
  switch (state) {
    case "conducts": {
      const share = (1 - point.oxide) * law.cure;
      toFloor(0, share);
      const oxide = oxideAfterFailure(point.oxide, law.cure);
      at.add("later", growth, oxide, level, 1 - share, sums);
      return sums;
    }
    case "open":
    case "intermittent":
      toFloor(law.oxide, 1);
      return sums;
    default:
      return at.ofStates(statesOf(at.chain, point), "later");
  }
}

/** What a new contact costs, by shares of the price. */
function freshCosts(cured: ClassPolicy, chain: ContactChain, excess: number): readonly number[] {
  const fresh = freshEntries(chain, excess);
  return cured.byShare.map(({ solved }) => expectedAt(fresh, solved.wait, 0));
}

/** A new contact as states of age 0, the others of its path as they are. */
function freshEntries(chain: ContactChain, excess: number): readonly Entry[] {
  if (excess === 0) return chain.fresh;
  const { modes, floor, oxide } = chain.law;
  return modes.flatMap((growth) =>
    floor.flatMap(({ value, weight }) => {
      const point = { state: "conducts", oxide, growth, level: felt(value, excess) } as const;
      return statesOf(chain, { weight: 1, ...point }).map((entry) => ({
        state: entry.state,
        weight: entry.weight * growth.weight * weight,
      }));
    }),
  );
}
