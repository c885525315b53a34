import type { ContactLaw, StepPrices } from "../../src/policy/contact-law.ts";

/**
 * The same decisions told a second time, the slow way: a recursion over exact levels, walk by walk,
 * that follows every outcome as a tree and keeps no grid. Lives without memory, no storms.
 */
export interface SlowState {
  readonly mode: number;
  readonly kind: "conducts" | "open" | "open-for-good" | "intermittent" | "loose-for-good";
  readonly level: number;
  /** P(oxide) of what conducts. */
  readonly oxide: number;
}

/** P(Z < z) by Simpson's rule on the density. */
export function slowCdf(z: number): number {
  if (z < -9) return 0;
  if (z > 9) return 1;
  const n = 400;
  const h = z / n;
  const density = (x: number): number => Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI);
  let sum = density(0) + density(z);
  for (let k = 1; k < n; k++) sum += density(k * h) * (k % 2 === 1 ? 4 : 2);
  return 0.5 + (sum * h) / 3;
}

/** Expected costs over so many walks, nothing counted after them. */
export function slowPolicy(
  law: ContactLaw,
  prices: StepPrices,
  weeks: number,
  walks: number,
  rate: number,
) {
  const grown = (mode: number, level: number): number => {
    const { kind, rate: speed } = law.modes[mode]!;
    if (kind === "flat") return level;
    return kind === "log" ? level + speed * weeks : Math.log(Math.exp(level) + speed * weeks);
  };
  const low = (level: number): number => slowCdf((level - law.limit.logOhms) / law.limit.scatter);
  const worth = (t: number): number => (1 + rate) ** -((t * weeks) / 52);
  const breaks = 1 - Math.exp(-weeks / law.life.scale);
  const kept = new Map<string, number>();
  const memo = (name: string, t: number, s: SlowState, value: () => number): number => {
    const key = `${name} ${t} ${s.mode} ${s.kind} ${s.level.toFixed(9)} ${s.oxide.toFixed(9)}`;
    const known = kept.get(key);
    if (known !== undefined) return known;
    const found = value();
    kept.set(key, found);
    return found;
  };
  const loss = ({ kind, level, mode }: SlowState): number => {
    if (kind.startsWith("open")) return weeks * prices.openWeek;
    if (kind === "intermittent" || kind === "loose-for-good")
      return weeks * prices.intermittentWeek;
    return (weeks * prices.lowWeek * (low(level) + low(grown(mode, level)))) / 2;
  };
  const fresh = (value: (s: SlowState) => number): number => {
    let sum = 0;
    for (const [mode, { weight }] of law.modes.entries())
      for (const node of law.floor)
        sum +=
          weight *
          node.weight *
          value({ mode, kind: "conducts", level: node.value, oxide: law.oxide });
    return sum;
  };
  const onward = (s: SlowState, value: (s: SlowState) => number): number => {
    const p = (per: number): number => 1 - Math.exp(-per * weeks);
    const floor = (): number =>
      law.floor.reduce(
        (sum, n) =>
          sum + n.weight * value({ ...s, kind: "conducts", level: n.value, oxide: law.oxide }),
        0,
      );
    if (s.kind !== "conducts")
      return (1 - p(law.rates.mends)) * value(s) + p(law.rates.mends) * floor();
    const opens = p(law.rates.open);
    const comes = (1 - opens) * p(law.rates.intermittent);
    const fouls = (1 - opens - comes) * p(law.rates.fouled);
    const mixed = (mends: SlowState["kind"], not: SlowState["kind"]): number =>
      law.mendable * value({ ...s, kind: mends }) + (1 - law.mendable) * value({ ...s, kind: not });
    let sum = opens * mixed("open", "open-for-good");
    sum += comes * mixed("intermittent", "loose-for-good");
    for (const node of law.fouled) {
      const oxide = Math.max(s.oxide, law.oxide);
      sum += fouls * node.weight * value({ ...s, level: node.value, oxide });
    }
    return sum + (1 - opens - comes - fouls) * value({ ...s, level: grown(s.mode, s.level) });
  };
  const afterClean = (s: SlowState, value: (s: SlowState) => number): number => {
    if (s.kind.endsWith("for-good")) return value(s);
    const floor = (oxide: number): number =>
      law.floor.reduce(
        (sum, n) => sum + n.weight * value({ ...s, kind: "conducts", level: n.value, oxide }),
        0,
      );
    if (s.kind !== "conducts") return floor(law.oxide);
    const chance = (1 - s.oxide) * law.cure;
    const oxide = s.oxide === 0 ? 0 : s.oxide / (s.oxide + (1 - s.oxide) * (1 - law.cure));
    return chance * floor(0) + (1 - chance) * value({ ...s, oxide });
  };
  const wait = (t: number, s: SlowState): number =>
    memo("wait", t, s, () => {
      if (t === walks) return 0;
      const next = (to: SlowState): number => best(t + 1, to);
      const refit =
        t + 1 === walks
          ? worth(t + 1) * prices.replace
          : worth(t + 1) * prices.replace + fresh(next);
      return (
        (1 - breaks) * (worth(t) * loss(s) + onward(s, next)) +
        breaks * ((worth(t) * prices.openWeek * weeks) / 2 + refit)
      );
    });
  const replaced = (t: number): number => worth(t) * prices.replace + fresh((to) => wait(t, to));
  const second = (t: number, s: SlowState): number =>
    memo("second", t, s, () =>
      Math.min(
        wait(t, s),
        worth(t) * prices.clean + afterClean(s, (to) => wait(t, to)),
        replaced(t),
      ),
    );
  const best = (t: number, s: SlowState): number =>
    memo("best", t, s, () => {
      if (t === walks) return 0;
      return Math.min(
        wait(t, s),
        worth(t) * prices.clean + afterClean(s, (to) => second(t, to)),
        replaced(t),
      );
    });
  return { wait, second, best, replaced };
}
