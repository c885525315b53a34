import { seededRandom } from "./random.ts";
import { answersOf } from "./worlds/answers-of.ts";
import { drawRival, namesOneOf, type RivalName, rivals } from "./worlds/rivals.ts";
import { walkSeed } from "./worlds-study.ts";

/** What the program calls each of them. */
const kinds: Readonly<Record<RivalName, readonly string[]>> = {
  stuck: ["stuck-closed"],
  leaking: ["leaking"],
  "points-swapped": ["swapped"],
  "rows-swapped": ["rows-swapped"],
  "supply-low": ["supply-low"],
  "meter-off": ["meter-off"],
  "load-off-by-2": ["meter-load"],
  crossed: ["crossed"],
};

/** A value moved by less than this is lost in one reading's noise: five times 0.02 V [V]. */
const SHOWS = 0.1;
/** Evidence for the mended files over the files as they are, from which the readings can tell. */
const TELLS = Math.log(100);

interface Counts {
  walks: number;
  first: number;
  listed: number;
  shows: number;
  firstOfShows: number;
  canMend: number;
  tells: number;
  firstOfTells: number;
}

function study(name: RivalName, walks: number, seed: number): Counts {
  const counts: Counts = {
    ...{ walks, first: 0, listed: 0, shows: 0, firstOfShows: 0, canMend: 0 },
    ...{ tells: 0, firstOfTells: 0 },
  };
  for (let i = 0; i < walks; i++) {
    const { uniform } = seededRandom(walkSeed(seed, `rival ${name}`, i));
    const { pool, readings, circuits, moved, mended } = drawRival(name, uniform);
    const said = answersOf(pool, readings, true);
    const places = said.explanations.map(
      ({ kind, lane, device }) => kinds[name].includes(kind) && namesOneOf(circuits, lane, device),
    );
    const first = places[0] === true;
    if (first) counts.first++;
    if (places.includes(true)) counts.listed++;
    if (moved >= SHOWS) {
      counts.shows++;
      if (first) counts.firstOfShows++;
    }
    if (mended === null) continue;
    counts.canMend++;
    const gain = answersOf(mended.pool, mended.readings).logEvidence - said.logEvidence;
    if (gain < TELLS) continue;
    counts.tells++;
    if (first) counts.firstOfTells++;
  }
  return counts;
}

const row = (cells: readonly string[]): string =>
  cells.map((cell, i) => (i === 0 ? cell.padEnd(16) : cell.padStart(14))).join("");

const legend = `
first    the true explanation stands first among the explanations; listed: it stands there at all
shows    walks in which it moved a value by 0.1 V or more, and in how many of these it is first
tells    walks whose files with the slip undone, or the load told, are over 100 times likelier:
         elsewhere the readings themselves cannot tell; "-" where no file can say it`;

/** Is what is really the matter, beside the contacts, the first of the explanations? */
export function rivalsStudy(walks: number, seed: number): void {
  console.log(`${walks} walks each; contacts as modelled; seed ${seed}\n`);
  console.log(row(["", "first", "listed", "shows", "first of these", "tells", "first of these"]));
  for (const name of Object.keys(rivals) as RivalName[]) {
    const c = study(name, walks, seed);
    const tells = c.canMend === 0 ? ["-", "-"] : [`${c.tells}`, `${c.firstOfTells}`];
    console.log(
      row([name, `${c.first}`, `${c.listed}`, `${c.shows}`, `${c.firstOfShows}`, ...tells]),
    );
  }
  console.log(legend);
}
