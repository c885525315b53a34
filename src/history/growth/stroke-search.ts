import type { Stroke } from "./build-season.ts";
import { grow, growthRows } from "./growth-rows.ts";
import { NODES, nodeOf } from "./level-grid.ts";
import { gapBefore } from "./season-clock.ts";
import type { SeasonData } from "./season-data.ts";
import type { SeasonFit } from "./season-fit.ts";
import { allWays, alongStretch, type Stretch, stretchesOf } from "./stretches.ts";

/**
 * Sound contacts that fouled at a stroke between two walks: water got in, a plug was knocked. For each gap of
 * each contact between works,
 *
 *     odds = c weeks  Z(struck there) / Z(not),    Z(struck) = sum over growths  Z(before, sound) Z(after | struck)
 *
 * with c the chance a week of its class. The likeliest gap is taken where its odds are over 1: growth
 * alone would have to run from nothing to what is read in one gap, and would be drawn on so.
 */
export function findStrokes(season: SeasonData, fit: SeasonFit): readonly Stroke[] {
  // A grid of every third growth lets some growths look struck; those are weighed on all.
  const roughly = stretchesOf(season, fit).flatMap((one) => strokeIn(season, fit, one) ?? []);
  const lives = new Set(roughly.map(({ life }) => life));
  return stretchesOf(season, fit, allWays, (life) => lives.has(life)).flatMap((stretch) => {
    const found = strokeIn(season, fit, stretch);
    if (found === null) return [];
    const { path, position } = stretch.life;
    return [{ path, position, walk: found.walk }];
  });
}

/** The likeliest stroke of a stretch; null where none is likelier than not. */
function strokeIn(season: SeasonData, fit: SeasonFit, stretch: Stretch) {
  const { life, rows, ends } = stretch;
  const perWeek = season.strokes.perWeek[life.group]!;
  let [best, most] = [-1, 0];
  alongStretch(stretch, [], fit.jumps, (walk, past, next) => {
    const weeks = gapBefore(season.clock, walk);
    const ago = ends - season.clock[walk]!;
    const struck = struckAt(rows, fit.start.struck, ago);
    const ln = Math.log(perWeek * weeks) + lnRatio(rows, past, next, struck, ago);
    if (ln > most) [best, most] = [walk, ln];
  });
  return best < 0 ? null : { life, walk: best };
}

/** Masses at a stretch's end of what was struck so many weeks before, by growth. */
function struckAt(rows: readonly number[], struck: Float64Array, weeks: number): Float64Array {
  const masses = new Float64Array(rows.length * NODES);
  for (const [n, r] of rows.entries()) grow(growthRows[r]!, struck, 0, weeks, 1, masses, n * NODES);
  return masses;
}

/** What is under this is sound, and may be struck [ohm]. */
const SOUND = 5;

/** First node of a way of growing that was no longer sound so many weeks before. */
function firstFouled(r: number, weeks: number): number {
  const { kind, rate } = growthRows[r]!;
  const grown = kind === "ohm" ? SOUND + rate * weeks : SOUND * Math.exp(rate * weeks);
  return Math.ceil(nodeOf(Math.log(grown)));
}

/** ln Z(struck) / Z(not), growth the same before and after. */
function lnRatio(
  rows: readonly number[],
  past: Float64Array,
  next: Float64Array,
  struck: Float64Array,
  ago: number,
): number {
  let [with1, without] = [0, 0];
  for (let n = 0; n < rows.length; n++) {
    let [all, after] = [0, 0];
    const sound = n * NODES + firstFouled(rows[n]!, ago);
    for (let c = n * NODES; c < (n + 1) * NODES; c++) {
      if (c < sound) all += past[c]!;
      after += struck[c]! * next[c]!;
      without += past[c]! * next[c]!;
    }
    with1 += all * after;
  }
  return Math.log((with1 + 1e-300) / (without + 1e-300));
}
