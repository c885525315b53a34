/**
 * What the notebook on accuracy calls: small decks drawn by the studies' own generator, which shares no
 * code with the program, and the program's answers to nothing but their sheets.
 */

import { type Chart, chart, ink } from "../src/report/charts/theme.ts";
import { seededRandom } from "../tests/study/random.ts";
import { type Answers, answersOf } from "../tests/study/worlds/answers-of.ts";
import { always } from "../tests/study/worlds/laws.ts";
import { circuitName, type Layout, plain } from "../tests/study/worlds/layout.ts";
import { asModelled, type Nature } from "../tests/study/worlds/nature.ts";
import { countAnswers, newTally, type Tally } from "../tests/study/worlds/tally.ts";
import { type DrawnWalk, drawWalk } from "../tests/study/worlds/world.ts";
import { worldsOf } from "../tests/study/worlds/worlds.ts";

export { percentText } from "../src/report/names.ts";
export { showChart } from "../src/report/notebook-display.ts";

const lanes = [1, 2];
const devices = ["touchpad", "button-1"];

/** Two lanes of two devices on the four default links. */
const small: Layout = {
  ...plain,
  lanes,
  circuits: lanes.flatMap((lane) => devices.map((device) => ({ lane, device }))),
  devicesText: `[${devices.join(", ")}]`,
};

/** Decks on which nothing conducts, by a timer of no resistance of its own: quick to work out. */
const dry: Nature = {
  ...asModelled,
  source: always(0),
  conducting: { ...asModelled.conducting, stuck: 0, leaking: 0, wetLeak: 0 },
};

/** The same, as the pool file says it. */
const toldDry = "model: { stuck: 0, leaking: 0, wet_leak: 0 }\n";

/** One drawn deck with the program's answers. */
export interface Trial extends DrawnWalk {
  readonly answers: Answers;
}

/** Decks of one world, the same ones every time. */
export function trials(name: string, walks: number): readonly Trial[] {
  const world = worldsOf(dry, 0).find((one) => one.name === name);
  if (world === undefined) throw new Error(`no world ${name}`);
  const { uniform } = seededRandom(20_260_502);
  return Array.from({ length: walks }, () => {
    const drawn = drawWalk({ ...world, layout: small }, uniform);
    return { ...drawn, answers: answersOf(drawn.pool + toldDry, drawn.readings) };
  });
}

/** Counts of right and wrong over trials. */
export function tallied(of: readonly Trial[]): Tally {
  const tally = newTally(0);
  for (const { answers, truth } of of) {
    tally.walks++;
    countAnswers(tally, answers, truth);
  }
  return tally;
}

/** Connectors that were given like probabilities, and how many of them were truly at fault. */
export interface CalibrationClass {
  /** Mean of what was said. */
  readonly said: number;
  readonly was: number;
  readonly of: number;
  /** 90 % interval of the share that was, by Wilson (1927). */
  readonly low: number;
  readonly high: number;
}

const Z90 = 1.6449;

export function calibrationClasses(
  { forecasts }: Tally,
  edges: readonly number[],
): readonly CalibrationClass[] {
  return edges.slice(1).flatMap((high, index) => {
    const own = forecasts.filter(
      ({ probability }) => probability >= edges[index]! && probability < high,
    );
    const of = own.length;
    if (of === 0) return [];
    const was = own.filter(({ came }) => came).length;
    const said = own.reduce((sum, { probability }) => sum + probability, 0) / of;
    const middle = (was / of + Z90 ** 2 / (2 * of)) / (1 + Z90 ** 2 / of);
    const reach =
      (Z90 / (1 + Z90 ** 2 / of)) *
      Math.sqrt(((was / of) * (1 - was / of)) / of + Z90 ** 2 / (4 * of ** 2));
    return [{ said, was, of, low: Math.max(0, middle - reach), high: Math.min(1, middle + reach) }];
  });
}

/** What was said against what came true. */
export function calibrationChart(classes: readonly CalibrationClass[]): Chart {
  const hit = classes.filter((one) => one.said >= one.low && one.said <= one.high).length;
  const finding = `In ${hit} of ${classes.length} classes what was said lies within what came true`;
  const values = classes.map(({ said, was, of, low, high }) => ({
    ...{ said: 100 * said, share: (100 * was) / of, low: 100 * low, high: 100 * high },
  }));
  const scale = { domain: [0, 100] };
  const x = { field: "said", type: "quantitative" as const, title: "said [%]", scale };
  const y = (field: string) => ({
    ...{ field, type: "quantitative" as const, title: "came true [%]", scale },
  });
  const diagonal = [
    { said: 0, share: 0 },
    { said: 100, share: 100 },
  ];
  const words = {
    finding,
    subtitle: "Dashed: said and came true agree. Upright lines: 90 % intervals of the share",
    alt: `Calibration of the probabilities. ${finding}.`,
  };
  return chart("calibration", words, {
    width: 320,
    height: 320,
    layer: [
      {
        data: { values: diagonal },
        mark: { type: "line", color: ink.quiet, strokeDash: [4, 4] },
        encoding: { x, y: y("share") },
      },
      {
        data: { values },
        mark: { type: "rule", color: ink.text },
        encoding: { x, y: y("low"), y2: { field: "high" } },
      },
      {
        data: { values },
        mark: { type: "point", filled: true, color: ink.text, size: 60, opacity: 1 },
        encoding: { x, y: y("share") },
      },
    ],
  });
}

/** Circuits that are truly under the limit, by what was said of them. */
export function underTheLimit(of: readonly Trial[]): Readonly<Record<string, number>> {
  const counts: Record<string, number> = { weak: 0, "read-again": 0, sound: 0 };
  for (const { answers, truth } of of) {
    const under = new Set(
      truth.circuits.filter((one) => one.under).map((one) => circuitName(one.circuit)),
    );
    for (const { name, verdict } of answers.circuits) if (under.has(name)) counts[verdict]!++;
  }
  return counts;
}
