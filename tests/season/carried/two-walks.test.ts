import { expect, test } from "vitest";
import type { Carried, CarriedStates } from "../../../src/diagnosis/carried.ts";
import { shelfOf } from "../../../src/diagnosis/pool-shelf.ts";
import { poseWalk } from "../../../src/diagnosis/walk-problem.ts";
import { infer } from "../../../src/inference/infer.ts";
import { readPool } from "../../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../../src/intake/read-readings.ts";
import { diagnoseSeason } from "../../../src/season/diagnose-season.ts";
import { openSeason } from "../../../src/season/open-season.ts";
import { TWO_CONTACTS } from "./two-contacts.ts";

/**
 * Two walks of one circuit on one day, against brute force: the evidence of each walk with every
 * contact pinned to one state, for all 16 choices of states of two contacts, times the prior of the
 * choice, added up over the body. Nothing of the filter is used; what is compared is that the states
 * are the same in both walks and all else is each walk's own.
 */

const made = readPool(
  `${TWO_CONTACTS}model: { stuck: 0, leaking: 0, drift_sd: 0 }
`,
  "pool.yaml",
);
if (!made.ok) throw new Error(made.error.map(({ message }) => message).join("; "));
const pool = made.value;

const NEAR = 0.03;

const rows = (hour: number, plate: number | null, pod: number): string =>
  [
    ...(plate === null ? [] : [`2026-05-02T${hour}:00,1,touchpad,plate,${plate},${hour}`]),
    `2026-05-02T${hour}:00,1,touchpad,pod,${pod},${hour}`,
  ].join("\n");
const sheet = (text: string) =>
  readReadings(`taken_at,lane,device,point,volts,walk\n${text}\n`, pool, "readings.csv").readings;

const none = { sound: 0, fouled: 0, open: 0, cable: 0, intermittent: 0 };
const ways = ["sound", "fouled", "open", "intermittent"] as const;
const pinned = (way: (typeof ways)[number]): CarriedStates => {
  const states = { ...none, [way]: 1 };
  return [states, states];
};
/** Section 4's defaults: open a tenth of fouled and 0.002 for the cable. */
const chanceOf = (way: (typeof ways)[number], fouled: number, intermittent: number): number => {
  const open = 0.1 * fouled + 0.002;
  return { fouled, open, intermittent, sound: 1 - fouled - open - intermittent }[way];
};

function byBruteForce(texts: readonly string[]): readonly [plate: number, pod: number] {
  const evidence = texts.map((text) =>
    ways.map((plate) =>
      ways.map((pod) => {
        const states = [pinned(plate), pinned(pod)];
        const carried: Carried = {
          circuits: [{ states, patterns: null }],
          contaminated: pool.connectors.map(() => 0),
          informedBy: [],
        };
        const { problem } = poseWalk(pool, sheet(text), carried);
        return infer(problem, shelfOf(pool)).logEvidence;
      }),
    ),
  );
  const most = evidence.map((table) => Math.max(...table.flat()));
  let [whole, ofPlate, ofPod] = [0, 0, 0];
  for (const [i, plate] of ways.entries()) {
    for (const [j, pod] of ways.entries()) {
      const prior =
        (0.92 * chanceOf(plate, 0.02, 0.005) + 0.08 * chanceOf(plate, 0.7, 0.005)) *
        chanceOf(pod, 0.12, 0.02);
      const p = evidence.reduce((x, table, w) => x * Math.exp(table[i]![j]! - most[w]!), prior);
      whole += p;
      if (i > 0) ofPlate += p;
      if (j > 0) ofPod += p;
    }
  }
  return [ofPlate / whole, ofPod / whole];
}

test.each([
  ["a low value behind both, whose contact nobody can tell", [null, 4.7], [null, 4.71]],
  ["one of two is told by the second walk", [null, 4.7], [4.98, 4.7]],
  ["zero, and zero again", [4.99, 0], [4.98, 0]],
  ["zero, and then sound", [4.99, 0], [4.98, 4.97]],
] as const)("%s", { timeout: 240_000 }, (_, first, second) => {
  const texts = [rows(10, first[0], first[1]), rows(18, second[0], second[1])];
  const [plate, pod] = byBruteForce(texts);
  const readings = sheet(texts.join("\n"));
  const season = openSeason(pool, diagnoseSeason(pool, readings, []), [])!;
  const { informedBy, contacts } = season.latest.diagnosis;
  expect(informedBy).toHaveLength(1);
  const faulty = contacts.map(({ sound }) => 1 - sound);
  // Which of two is carried as weights of patterns, bodies averaged: a projection, near to this.
  expect(Math.abs(faulty[0]! - plate), `plate by brute force ${plate}`).toBeLessThan(NEAR);
  expect(Math.abs(faulty[1]! - pod), `pod by brute force ${pod}`).toBeLessThan(NEAR);
});
