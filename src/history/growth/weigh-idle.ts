import { buildSeason, type SeasonInput } from "./build-season.ts";
import { learnClass, weighLaws } from "./class-growth.ts";
import { discard, filterContact } from "./contact-filter.ts";
import type { SeasonClock } from "./season-clock.ts";
import type { SeasonFit } from "./season-fit.ts";

/** A growth factor of idle weeks, and its probability. */
export interface IdleFactor {
  readonly factor: number;
  readonly share: number;
}

/** ln factor ~ Normal(0, 0.8) before any walk, on these, and none at all as likely as the lowest. */
const FACTORS = [0.02, 0.2, 0.35, 0.6, 1, 1.6, 2.5, 4] as const;
const SPREAD = 0.9;

/** How fast contacts grow while the pool stands idle, by the evidence of all of them together. */
export function weighIdle(
  input: SeasonInput,
  clock: SeasonClock,
  fit: SeasonFit,
): readonly IdleFactor[] {
  const lns = FACTORS.map((factor) => {
    const season = buildSeason(input, { clock: { ...clock, factor }, steps: [], strokes: [] });
    const groups: Float64Array[][] = Array.from({ length: season.groups }, () => []);
    season.lives.forEach((path, p) => {
      path.forEach((lives, k) => {
        const { table } = fit.lives[p]![k]!.at(-1)!;
        for (const life of lives) {
          const filter = filterContact(life, table, season.clock, fit.start, fit.jumps);
          groups[life.group]!.push(filter.lnRows);
          discard(filter);
        }
      });
    });
    const answers = groups.map((group) => learnClass(group));
    const laws = weighLaws(answers.map(({ lnLaw }) => lnLaw));
    const evidence = answers.reduce(
      (sum, { lnLaw }, g) => sum + (laws[g]! > 0.5 ? lnLaw[1] : lnLaw[0]),
      0,
    );
    return evidence - 0.5 * (Math.log(Math.max(0.15, factor)) / SPREAD) ** 2;
  });
  const most = Math.max(...lns);
  const weights = lns.map((ln) => Math.exp(ln - most));
  const sum = weights.reduce((total, weight) => total + weight, 0);
  return FACTORS.map((factor, i) => ({ factor, share: weights[i]! / sum }));
}
