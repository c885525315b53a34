import { diagnose } from "../../src/diagnosis/diagnose.ts";
import type { Reading } from "../../src/domain/reading.ts";
import type { TestPool as Pool } from "../plain-pool.ts";
import { ownerName, trulyAtFault } from "./connector.ts";
import { firstWeakPoint, largestDrop, shownPaths, type Verdict } from "./hand-rules.ts";
import { seededRandom } from "./random.ts";
import {
  brierScore,
  calibrationBins,
  calibrationError,
  type Forecast,
  murphyParts,
} from "./scores.ts";
import { type Circumstances, simulateWalk } from "./simulate.ts";

/** From this probability on a connector counts as accused. */
const accusing = 0.5;

interface Stated extends Verdict {
  readonly stated: ReadonlyMap<string, number>;
}

const byDiagnosis = (pool: Pool, readings: readonly Reading[]): Stated => {
  const { connectors } = diagnose(pool, readings);
  const stated = new Map(
    connectors.map((c) => [ownerName(c.point, c.lane, c.device), c.atFault] as const),
  );
  const accused = [...stated].filter(([, p]) => p >= accusing).map(([name]) => name);
  return { first: [...stated.keys()][0]!, accused: new Set(accused), stated };
};

/** Counts of one way of judging, over all walks. */
interface Tally {
  readonly name: string;
  firstRight: number;
  accusedRight: number;
  accusedWrong: number;
  faults: number;
  soundWalksAccused: number;
}

const tally = (name: string): Tally => ({
  name,
  firstRight: 0,
  accusedRight: 0,
  accusedWrong: 0,
  faults: 0,
  soundWalksAccused: 0,
});

const count = (sums: Tally, { first, accused }: Verdict, truth: ReadonlySet<string>): void => {
  if (truth.has(first)) sums.firstRight++;
  const right = [...accused].filter((name) => truth.has(name)).length;
  sums.accusedRight += right;
  sums.accusedWrong += accused.size - right;
  sums.faults += truth.size;
};

const percent = (part: number, whole: number): string =>
  whole === 0 ? "-" : `${((100 * part) / whole).toFixed(1)} %`;

const row = (cells: readonly string[]): string =>
  cells.map((cell, i) => (i === 0 ? cell.padEnd(30) : cell.padStart(21))).join("");

const printTallies = (tallies: readonly Tally[], walks: number, withFault: number): void => {
  const heads = ["", "opened first is", "of those accused", "faulty connectors", "sound walks"];
  console.log(row(heads));
  console.log(row(["", "truly at fault", "are sound", "found", "with an accusation"]));
  for (const t of tallies) {
    const accused = t.accusedRight + t.accusedWrong;
    const cells = [
      percent(t.firstRight, withFault),
      percent(t.accusedWrong, accused),
      percent(t.accusedRight, t.faults),
      percent(t.soundWalksAccused, walks),
    ];
    console.log(row([t.name, ...cells]));
  }
};

const printCalibration = (forecasts: readonly Forecast[]): void => {
  const bins = calibrationBins(forecasts);
  const parts = murphyParts(bins);
  console.log(`\nConnector probabilities: ${forecasts.length}`);
  console.log(`  Brier score         ${brierScore(forecasts).toFixed(4)}`);
  console.log(`  calibration error   ${calibrationError(bins).toFixed(4)} (10 bins)`);
  console.log(
    `  reliability ${parts.reliability.toFixed(5)}, resolution ${parts.resolution.toFixed(4)}, ` +
      `uncertainty ${parts.uncertainty.toFixed(4)}`,
  );
  for (const { count: n, stated, came } of bins) {
    console.log(`  stated ${stated.toFixed(3)}  came ${came.toFixed(3)}  (${n})`);
  }
};

const simulated = (pool: Pool, walks: number, circumstances: Circumstances, seed: number): void => {
  const random = seededRandom(seed);
  const soundRandom = seededRandom(seed + 1);
  const rules = [
    byDiagnosis,
    (of: Pool, readings: readonly Reading[]) =>
      largestDrop(shownPaths(of, readings), of.supply.emf),
    (of: Pool, readings: readonly Reading[]) => firstWeakPoint(shownPaths(of, readings)),
  ] as const;
  const names = ["this diagnosis", "largest drop", "first point under 4.9 V"];
  const tallies = names.map(tally);
  const forecasts: Forecast[] = [];
  let withFault = 0;
  for (let i = 0; i < walks; i++) {
    const walk = simulateWalk(pool, random, circumstances);
    const truth = trulyAtFault(walk);
    const sound = simulateWalk(pool, soundRandom, { ...circumstances, allSound: true });
    if (truth.size > 0) withFault++;
    rules.forEach((rule, index) => {
      const verdict = rule(pool, walk.readings);
      const sums = tallies[index]!;
      if (truth.size > 0) count(sums, verdict, truth);
      else sums.accusedWrong += verdict.accused.size;
      if (rule(pool, sound.readings).accused.size > 0) sums.soundWalksAccused++;
      if ("stated" in verdict) {
        for (const [name, probability] of (verdict as Stated).stated) {
          forecasts.push({ probability, came: truth.has(name) });
        }
      }
    });
  }
  console.log(`${walks} walks, ${withFault} with a fault; seed ${seed}\n`);
  printTallies(tallies, walks, withFault);
  printCalibration(forecasts);
};

/**
 * How often the diagnosis is right, beside two rules that people use by hand, on walks drawn from
 * its own model. All three see the same readings; each must name one connector to open first, and
 * may accuse any number.
 */
export const diagnosisStudy = (pool: Pool, walks: number): void => {
  const variants: readonly [string, Circumstances][] = [
    [
      "Every point read, no meter switches itself off",
      { missing: 0, meterOff: 0, allSound: false },
    ],
    [
      "A meter shows a blank, written as 0, once in fifty readings",
      { missing: 0, meterOff: 0.02, allSound: false },
    ],
    ["One reading in four was not taken", { missing: 0.25, meterOff: 0, allSound: false }],
  ];
  for (const [title, circumstances] of variants) {
    console.log(`\n${title}`);
    simulated(pool, walks, circumstances, 20_260_502);
  }
};
