import { deck, type Law, type Nature } from "./law.ts";
import { typicalNatures } from "./optimum.ts";
import { grownOhms } from "./world.ts";

/**
 * What someone believes of one contact who knows the law and the supply, but sees readings only: a
 * table over natures and levels, and the states without a level. Per contact, the others of its path
 * at their mean and spread.
 */
const NODES = 190;
const [LOW, HIGH] = [Math.log(0.01), Math.log(1e6)];
const STEP = (HIGH - LOW) / (NODES - 1);
const levels = Float64Array.from({ length: NODES }, (_, k) => LOW + k * STEP);
const ohmsAt = levels.map(Math.exp);
const others = ["open", "loose", "broken"] as const;
type Other = (typeof others)[number];

const normals = [-2.0, -1.4, -1.0, -0.7, -0.4, -0.15, 0.15, 0.4, 0.7, 1.0, 1.4, 2.0];
const stormRises = [0.05, 0.16, 0.29, 0.43, 0.6, 0.8, 1.05, 1.39, 1.9, 3.0];

/** One nature: chances of its levels, and of the rest. */
interface Row {
  readonly nature: Nature;
  readonly prior: number;
  conducts: Float64Array;
  open: number;
  loose: number;
  broken: number;
}

function add(to: Float64Array, level: number, mass: number): void {
  const x = Math.min(Math.max((level - LOW) / STEP, 0), NODES - 1.000001);
  const k = Math.floor(x);
  to[k]! += mass * (1 - x + k);
  to[k + 1]! += mass * (x - k);
}

const spreadOf = (to: Float64Array, law: { median: number; logSd: number }, mass: number): void => {
  for (const z of normals) add(to, Math.log(law.median) + law.logSd * z, mass / normals.length);
};

export class GridFilter {
  readonly rows: Row[];
  private readonly law: Law;

  constructor(law: Law) {
    this.law = law;
    this.rows = typicalNatures(law).map(({ nature, weight }) => ({
      nature,
      prior: weight,
      conducts: new Float64Array(NODES),
      open: 0,
      loose: 0,
      broken: 0,
    }));
    this.renew();
    // The last cleaning was up to 40 weeks ago, nobody knows when.
    for (const row of this.rows) {
      const used = new Float64Array(NODES);
      for (let weeks = 1; weeks < 40; weeks += 2)
        for (const [k, mass] of row.conducts.entries())
          if (mass > 0) add(used, Math.log(grownOhms(row.nature, ohmsAt[k]!, weeks)), mass / 20);
      row.conducts = used;
    }
  }

  private renew(): void {
    for (const row of this.rows) {
      row.conducts = new Float64Array(NODES);
      spreadOf(row.conducts, this.law.floor, row.prior);
      for (const other of others) row[other] = 0;
    }
  }

  passWeek(): void {
    const { law } = this;
    const storm = law.storms.perWeek * law.storms.touches;
    const stays = 1 - law.opens - law.loosens - law.fouls - law.breaks;
    for (const row of this.rows) {
      const next = new Float64Array(NODES);
      let all = 0;
      for (const [k, mass] of row.conducts.entries()) {
        if (mass < 1e-12) continue;
        all += mass;
        const grown = Math.log(grownOhms(row.nature, ohmsAt[k]!, 1));
        add(next, grown, stays * mass * (1 - storm));
        if (storm > 0)
          for (const rise of stormRises)
            add(next, grown + law.storms.rise * rise, (stays * mass * storm) / stormRises.length);
      }
      spreadOf(next, law.fouled, law.fouls * all);
      row.conducts = next;
      row.broken += law.breaks * (all + row.open + row.loose);
      row.open = row.open * (1 - law.breaks) + law.opens * all;
      row.loose = row.loose * (1 - law.breaks) + law.loosens * all;
    }
  }

  work(action: "clean" | "replace"): void {
    if (action === "replace") {
      this.renew();
      return;
    }
    for (const row of this.rows) {
      const cure = row.nature.oxide ? 0 : this.law.cure;
      let cured = this.law.mend * (row.open + row.loose);
      row.open *= 1 - this.law.mend;
      row.loose *= 1 - this.law.mend;
      for (let k = 0; k < NODES; k++) {
        cured += cure * row.conducts[k]!;
        row.conducts[k]! *= 1 - cure;
      }
      spreadOf(row.conducts, this.law.floor, cured);
    }
  }

  /** Weighs every level and state by a likelihood. */
  weigh(
    conducts: (ohms: number) => number,
    other: Readonly<Record<Other, (ohms: number) => number>>,
  ): void {
    const byLevel = ohmsAt.map(conducts);
    const sound = this.law.floor.median;
    const by = others.map((each) => other[each](sound));
    let sum = 0;
    for (const row of this.rows) {
      for (let k = 0; k < NODES; k++) {
        row.conducts[k]! *= byLevel[k]!;
        sum += row.conducts[k]!;
      }
      for (const [n, each] of others.entries()) {
        row[each] *= by[n]!;
        sum += row[each];
      }
    }
    if (!(sum > 0)) throw new Error("a reading that nothing explains");
    for (const row of this.rows) {
      for (let k = 0; k < NODES; k++) row.conducts[k]! /= sum;
      for (const each of others) row[each] /= sum;
    }
  }

  /** Chance of a state without a level. */
  chance(other: Other): number {
    return this.rows.reduce((sum, row) => sum + row[other], 0);
  }

  /** Median [ohm] of what conducts, and its spread about it between 16 and 84 %. */
  ohms(): { readonly mean: number; readonly sd: number } {
    const mass = new Float64Array(NODES);
    for (const { conducts } of this.rows) for (let k = 0; k < NODES; k++) mass[k]! += conducts[k]!;
    const all = mass.reduce((sum, each) => sum + each, 0);
    if (all <= 0) return { mean: this.law.floor.median, sd: 0 };
    const at = (share: number): number => {
      let [sum, k] = [mass[0]!, 0];
      while (sum < share * all && k + 1 < NODES) sum += mass[++k]!;
      return ohmsAt[k]!;
    };
    return { mean: at(0.5), sd: (at(0.84) - at(0.16)) / 2 };
  }

  /** Every state with its chance. */
  *states(): Generator<{
    readonly nature: Nature;
    readonly row: number;
    readonly ohms: number;
    readonly state: "conducts" | Other;
    readonly weight: number;
  }> {
    for (const [r, row] of this.rows.entries()) {
      for (let k = 0; k < NODES; k++)
        if (row.conducts[k]! > 1e-7)
          yield {
            nature: row.nature,
            row: r,
            ohms: ohmsAt[k]!,
            state: "conducts",
            weight: row.conducts[k]!,
          };
      for (const state of others)
        if (row[state] > 1e-7)
          yield {
            nature: row.nature,
            row: r,
            ohms: this.law.floor.median,
            state,
            weight: row[state],
          };
    }
  }
}

const bell = (x: number, sd: number): number => Math.exp((-x * x) / (2 * sd * sd)) / (sd * 2.5066);

/** P(a meter shows v | true volts known to a spread). */
const shown = (v: number, volts: number, spread: number): number =>
  (1 - deck.misread) * bell(v - volts, Math.hypot(deck.noise, spread)) + deck.misread / 5.5;

const voltsAt = (emf: number, behind: number): number =>
  (emf * deck.loadOhms) / (deck.loadOhms + behind);

/** Weighs the filters of one path by one reading of each of its points. */
export function weighPath(
  path: readonly GridFilter[],
  volts: readonly number[],
  emf: number,
): void {
  for (const [k, filter] of path.entries()) {
    const rest = path.map((each) => each.ohms());
    const gone = path.map((each) => each.chance("open") + each.chance("broken"));
    const loose = path.map((each) => each.chance("loose"));
    const likelihood =
      (state: "conducts" | "loose" | "gone") =>
      (ohms: number): number => {
        let [product, behind, spread, cut, comes] = [1, 0, 0, 0, state === "loose" ? 1 : 0];
        for (const [j, v] of volts.entries()) {
          behind += deck.wires[j]! + (j === k ? ohms : rest[j]!.mean);
          if (j !== k) {
            spread = Math.hypot(spread, rest[j]!.sd);
            cut = 1 - (1 - cut) * (1 - gone[j]!);
            comes = Math.max(comes, loose[j]!);
          }
          if (j < k) continue;
          const own = voltsAt(emf, behind);
          const blur = (own * spread) / (deck.loadOhms + behind);
          const bad = 0.3 * shown(v, 0, 0) + 0.7 * shown(v, voltsAt(emf, behind + 100), blur);
          const share = comes * deck.badShare;
          const conducts = (1 - share) * shown(v, own, blur) + share * bad;
          const none = state === "gone" ? 1 : cut;
          product *= (1 - none) * conducts + none * shown(v, 0, 0);
        }
        return product;
      };
    filter.weigh(likelihood("conducts"), {
      open: likelihood("gone"),
      loose: likelihood("loose"),
      broken: likelihood("gone"),
    });
  }
}
