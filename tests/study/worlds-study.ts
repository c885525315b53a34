import { mkdirSync, writeFileSync } from "node:fs";
import { firstWeakPoint, largestDrop } from "./hand-rules.ts";
import { seededRandom } from "./random.ts";
import { answersOf } from "./worlds/answers-of.ts";
import { asModelled, firstModel } from "./worlds/nature.ts";
import { pathsShown } from "./worlds/paths-shown.ts";
import {
  countAnswers,
  countRules,
  expectedSound,
  newTally,
  type Share,
  scoresOf,
  type Tally,
} from "./worlds/tally.ts";
import { TELLING_VOLTS } from "./worlds/truth.ts";
import { type DrawnWalk, drawWalk, type World } from "./worlds/world.ts";
import { worldsOf } from "./worlds/worlds.ts";
import { truthText, wrongStatements } from "./worlds/wrong-statements.ts";

/** What every world is drawn from before one thing is changed, and the source that files tell. */
const bases = {
  modelled: worldsOf(asModelled, null),
  first: worldsOf(firstModel, 0),
} as const;

/** Nominal supply, which the rules of thumb compare the first point with [V]. */
const NOMINAL = 5;

export interface WorldsOptions {
  readonly walks: number;
  readonly seed: number;
  readonly base: keyof typeof bases;
  /** Only this world. */
  readonly world: string | undefined;
  /** Every wrong sure statement is printed below its world's row. */
  readonly wrong: boolean;
  /** Folder for the files of walks with a wrong statement, one folder each. */
  readonly files: string | undefined;
}

/** A seed of its own for every walk of every world (FNV-1a over their names). */
export function walkSeed(seed: number, world: string, walk: number): number {
  let hash = 0x811c9dc5;
  for (const letter of `${seed} ${world} ${walk}`) {
    hash = Math.imul(hash ^ letter.charCodeAt(0), 0x01000193) >>> 0;
  }
  return hash;
}

export const walkOf = (world: World, seed: number, walk: number): DrawnWalk =>
  drawWalk(world, seededRandom(walkSeed(seed, world.name, walk)).uniform);

/** The row's tally, and the wrong statements walk by walk. */
function tallyWorld(world: World, { walks, seed, files }: WorldsOptions) {
  const tally = newTally(2);
  const wrong: string[] = [];
  for (let i = 0; i < walks; i++) {
    const drawn = walkOf(world, seed, i);
    const { pool, readings, taken, truth } = drawn;
    tally.walks++;
    const paths = pathsShown(world.layout, taken);
    countRules(tally, [largestDrop(paths, NOMINAL), firstWeakPoint(paths)], truth);
    try {
      const answers = answersOf(pool, readings);
      countAnswers(tally, answers, truth);
      const lines = wrongStatements(answers, truth, TELLING_VOLTS);
      wrong.push(...lines.map((line) => `  walk ${i}: ${line}`));
      if (files !== undefined && lines.length > 0) {
        writeWalk(`${files}/${world.name}-${i}`, drawn, lines);
      }
    } catch (error) {
      tally.failed++;
      tally.failure ??= String(error).slice(0, 100);
    }
  }
  return { tally, wrong };
}

function writeWalk(folder: string, { pool, readings, truth }: DrawnWalk, wrong: string[]): void {
  mkdirSync(`${folder}/readings`, { recursive: true });
  writeFileSync(`${folder}/pool.yaml`, pool);
  writeFileSync(`${folder}/readings/drawn.csv`, readings);
  writeFileSync(`${folder}/truth.txt`, truthText(truth));
  writeFileSync(`${folder}/wrong.txt`, `${wrong.join("\n")}\n`);
}

const percent = ({ part, whole }: Share): string =>
  whole === 0 ? "-" : ((100 * part) / whole).toFixed(1);

const heads = [
  ["world", 17],
  ["top-1", 6],
  ["accused", 8],
  ["own", 6],
  ["sure", 6],
  ["n", 5],
  ["out", 5],
  ["Brier", 7],
  ["cal.", 6],
  ["passed", 7],
  ["missed", 7],
  ["weak", 6],
  ["again", 6],
  ["no fit", 7],
  ["drop", 6],
  ["acc.", 6],
  ["4.9", 6],
  ["acc.", 6],
  ["fault", 6],
] as const;

const row = (cells: readonly string[]): string =>
  cells
    .map((cell, i) => (i === 0 ? cell.padEnd(heads[i]![1]) : cell.padStart(heads[i]![1])))
    .join("");

function cellsOf(world: World, tally: Tally): string[] {
  const { program, rules, forecasts } = tally;
  const { brier, calibration } = scoresOf(tally);
  const scored = forecasts.length > 0;
  return [
    world.name,
    percent(program.top),
    percent(program.accused),
    percent(expectedSound(tally)),
    percent(tally.sure),
    `${tally.sure.whole}`,
    percent(tally.ruledOut),
    scored ? brier.toFixed(4) : "-",
    scored ? calibration.toFixed(3) : "-",
    percent(tally.sound),
    percent(tally.under),
    percent(tally.weak),
    percent(tally.again),
    percent(tally.noFit),
    ...rules.flatMap(({ top, accused }) => [percent(top), percent(accused)]),
    `${rules[0]!.top.whole}`,
  ];
}

const legend = `
All but n, Brier, cal. and fault in percent.
top-1    first in the ranking truly at fault, of the walks (fault) in which a fault takes 0.1 V
accused  of connectors at 50 % or more, those that are sound
own      the same as its own probabilities would have it: the share that no reading can tell
sure     of connectors at 99 % or more (n), those that are sound
out      of connectors at 1 % or less, those at fault
passed   of circuits told sound, those truly under the limit
missed   of circuits truly under the limit, those told sound
weak     of circuits told weak, those not under the limit
again    circuits told to be read again
no fit   walks with p < 0.01
drop, 4.9  the rules "largest drop" and "first point under 4.9 V": top-1, then accused but sound`;

/**
 * The program on walks from worlds that differ from its model, drawn by a generator of their own:
 * one row a world, beside two rules of thumb on the same sheets.
 */
export function worldsStudy(options: WorldsOptions): void {
  const { walks, seed, base, world: only } = options;
  const worlds = bases[base].filter(({ name }) => only === undefined || name === only);
  if (worlds.length === 0) {
    const names = bases[base].map(({ name }) => name).join(", ");
    throw new Error(`no world ${only}; there are ${names}`);
  }
  console.log(`${walks} walks a world; base ${base}; seed ${seed}\n`);
  console.log(row(heads.map(([name]) => name)));
  for (const world of worlds) {
    const { tally, wrong } = tallyWorld(world, options);
    console.log(row(cellsOf(world, tally)));
    if (tally.failed > 0) console.log(`  ${tally.failed} walks failed: ${tally.failure}`);
    if (tally.rejectedRows > 0) console.log(`  ${tally.rejectedRows} rows were not used`);
    if (options.wrong) for (const line of wrong) console.log(line);
  }
  console.log(legend);
  console.log("");
  for (const { name, differs } of worlds) console.log(`${name.padEnd(17)} ${differs}`);
}
