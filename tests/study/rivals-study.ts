import type { ExplanationKind } from "../../src/domain/explanation-kinds.ts";
import { type Random, seededRandom } from "./random.ts";
import { type Answers, answersOf } from "./worlds/answers-of.ts";
import { drawRival, namesOneOf, type RivalName, type RivalWalk, rivals } from "./worlds/rivals.ts";
import { walkSeed } from "./worlds-study.ts";

/** What the program calls each of them. */
const kinds: Readonly<Record<RivalName, readonly ExplanationKind[]>> = {
  stuck: ["stuck"],
  leaking: ["leaking"],
  "points-swapped": ["points-swapped"],
  "rows-swapped": ["rows-swapped"],
  "supply-low": ["supply-low"],
  "meter-off": ["display-off"],
  "load-off-by-2": ["meter-load"],
  crossed: ["crossed"],
};

/** A value moved by less than this is lost in one reading's noise: five times 0.02 V [V]. */
const SHOWS = 0.1;
/** Log evidence for one account over another from which readings can tell them apart. */
const TELLS = Math.log(100);

interface Counts {
  draws: number;
  first: number;
  listed: number;
  tells: number;
  firstOfTells: number;
}

/** Draws until the rival shows in some reading. */
function drawShown(name: RivalName, { uniform }: Random, counts: Counts): RivalWalk {
  for (;;) {
    counts.draws++;
    const walk = drawRival(name, uniform);
    if (walk.moved >= SHOWS) return walk;
  }
}

/** Whether the readings can tell: by evidence with the slip undone, or by distance. */
function canTell({ mended, fromSeries }: RivalWalk, said: Answers): boolean {
  if (mended === null) return fromSeries === null || fromSeries / 2 >= TELLS;
  return answersOf(mended.pool, mended.readings).logEvidence - said.logEvidence >= TELLS;
}

function study(name: RivalName, walks: number, seed: number): Counts {
  const counts: Counts = { draws: 0, first: 0, listed: 0, tells: 0, firstOfTells: 0 };
  for (let i = 0; i < walks; i++) {
    const random = seededRandom(walkSeed(seed, `rival ${name}`, i));
    const walk = drawShown(name, random, counts);
    const said = answersOf(walk.pool, walk.readings, true);
    const places = said.explanations.map(
      ({ kind, lane, device }) =>
        kinds[name].includes(kind) && namesOneOf(walk.circuits, lane, device),
    );
    const first = places[0] === true;
    if (first) counts.first++;
    if (places.includes(true)) counts.listed++;
    if (!canTell(walk, said)) continue;
    counts.tells++;
    if (first) counts.firstOfTells++;
  }
  return counts;
}

const row = (cells: readonly string[]): string =>
  cells.map((cell, i) => (i === 0 ? cell.padEnd(16) : cell.padStart(15))).join("");

const legend = `
draws    walks drawn until so many showed it: moved some value by 0.1 V or more
first    the true explanation stands first among the explanations; listed: it stands there at all
can tell swapped, load: the files with the slip undone or the load told are over 100 times likelier;
         stuck, leaking: no single contact in series comes within a likelihood ratio of 100;
         the others: wherever it shows`;

/** Is what is really the matter, beside the contacts, the first of the explanations? */
export function rivalsStudy(walks: number, seed: number): void {
  console.log(`${walks} walks each that show it; contacts as modelled; seed ${seed}\n`);
  console.log(row(["", "draws", "first", "listed", "can tell", "first of these"]));
  for (const name of Object.keys(rivals) as RivalName[]) {
    const { draws, first, listed, tells, firstOfTells } = study(name, walks, seed);
    console.log(row([name, ...[draws, first, listed, tells, firstOfTells].map(String)]));
  }
  console.log(legend);
}
