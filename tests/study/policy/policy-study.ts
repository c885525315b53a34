import { mean, sampleStandardDeviation } from "simple-statistics";
import { deck, laws, type WorldName } from "./law.ts";
import { Optimum } from "./optimum.ts";
import { policyOverFilter } from "./over-filter.ts";
import { cleanEvery, handRule, knowingFilter, type Player, seer } from "./players.ts";
import { program } from "./program.ts";
import { type Outcome, runSeason } from "./season-run.ts";

const [LANES, WEEKS] = [6, 78];
const SEED = 20_261_128;

/** The players of one pool, the optimum first. */
const playersOf = (
  law: (typeof laws)[WorldName],
  optima: readonly Optimum[],
  withProgram: boolean,
): Player[] => [
  seer(optima),
  knowingFilter(law, optima, LANES),
  policyOverFilter(law, LANES),
  ...(withProgram ? [program(LANES)] : []),
  ...[4, 8, 13].map(cleanEvery),
  ...[4.8, 4.9].flatMap((under) =>
    [1, 2].map((failures) =>
      handRule(`clean under ${under} V, replace after ${failures}`, under, failures),
    ),
  ),
];

const cost = ({ lost, spent, left }: Outcome): number => lost + spent + left;

export const policyStudy = (
  pools: number,
  only: string | undefined,
  withProgram: boolean,
): void => {
  for (const [name, law] of Object.entries(laws)) {
    if (only !== undefined && only !== name) continue;
    const optima = deck.points.map((point) => new Optimum(law, point));
    const results = new Map<string, Outcome[]>();
    for (let pool = 0; pool < pools; pool++)
      for (const player of playersOf(law, optima, withProgram)) {
        const outcome = runSeason(law, optima, player, SEED + pool, LANES, WEEKS);
        results.set(player.name, [...(results.get(player.name) ?? []), outcome]);
      }
    const best = results.values().next().value!;
    const left = mean(best.map((each) => each.left));
    const baseline = mean(best.map(cost)) - left;
    console.log(`\n${name}: ${pools} pools of ${LANES} lanes, ${WEEKS} weeks`);
    for (const [player, outcomes] of results) {
      const costs = outcomes.map((each) => cost(each) - left);
      const gaps = outcomes.map((each, k) => cost(each) - cost(best[k]!));
      const error = pools > 1 ? sampleStandardDeviation(gaps) / Math.sqrt(pools) : 0;
      const of = (key: keyof Outcome): string =>
        mean(outcomes.map((each) => each[key]))
          .toFixed(1)
          .padStart(8);
      console.log(
        player.padEnd(34),
        mean(costs).toFixed(0).padStart(6),
        (mean(costs) / baseline).toFixed(2).padStart(6),
        `+- ${(error / baseline).toFixed(2)}`,
        of("lost"),
        of("cleaned"),
        of("replaced"),
        of("left"),
      );
    }
  }
};
