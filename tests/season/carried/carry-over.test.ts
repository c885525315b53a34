import { expect, test } from "vitest";
import { readPool } from "../../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../../src/intake/read-readings.ts";
import { readWorkLog } from "../../../src/intake/read-work-log.ts";
import { carryOver, type SeenWalk } from "../../../src/season/carried/carry-over.ts";
import { diagnoseSeason } from "../../../src/season/diagnose-season.ts";
import { openSeason } from "../../../src/season/open-season.ts";
import { TWO_CONTACTS } from "./two-contacts.ts";

const made = readPool(TWO_CONTACTS, "pool.yaml");
if (!made.ok) throw new Error(made.error.map(({ message }) => message).join("; "));
const pool = made.value;

const DAY = 20_000;
/** Readings that say nothing of what is behind a fault. */
const UNSEEN = [
  [1, 1, 1, 1],
  [1, 1, 1, 1],
];
/** A walk by its likelihoods: all sound, plate or pod the first faulty (fouled, open, intermittent). */
const seen = (
  day: number,
  sound: number,
  plate: readonly number[],
  pod: readonly number[],
): SeenWalk => ({
  ...{ walk: `day ${day}`, day, seconds: null },
  likelihoods: [
    {
      ...{ lane: 1, device: "touchpad", end: null },
      ...{
        sound,
        first: [plate, pod],
        steady: UNSEEN,
        shaky: UNSEEN,
      },
    },
  ],
});
/** P(faulty) of plate and pod, and what the path's patterns say, on the day itself. */
function left(walks: readonly SeenWalk[], day: number, work = "") {
  const log =
    work === ""
      ? []
      : readWorkLog(`done_at,lane,point,action\n${work}\n`, pool, "work.csv").entries;
  const carried = carryOver(pool, walks, log, { day, seconds: null });
  const { states, patterns } = carried.circuits[0]!;
  const chance = carried.contaminated[pool.connectors.findIndex(({ point }) => point === "plate")]!;
  const plate = (1 - chance) * states[0]![0].sound + chance * states[0]![1].sound;
  return { carried, patterns, plate: 1 - plate, pod: 1 - states[1]![0].sound };
}

// The priors of model section 4, from the pool file's defaults: plate body 0.08; fouled 0.02 or 0.70;
// pod 0.12; open a tenth of it and 0.002 more for the cable; intermittent 0.005, at a pod 0.02.
const faulty = (fouled: number, intermittent: number): number =>
  1.1 * fouled + 0.002 + intermittent;
const POD = faulty(0.12, 0.02);
const PLATE = [faulty(0.02, 0.005), faulty(0.7, 0.005)] as const;

test("a walk of the same day leaves its posterior, by hand: Bayes' rule once", () => {
  // Plate told sound for sure; the readings are nine times as likely with a faulty pod.
  const { pod, plate } = left([seen(DAY, 1, [0, 0, 0], [9, 9, 9])], DAY);
  expect(pod).toBeCloseTo((9 * POD) / (9 * POD + 1 - POD), 9);
  expect(plate).toBeCloseTo(0, 9);
});

test("the body is judged by its contacts, by hand", () => {
  // Plate's contact told faulty for sure: P(body | faulty) = 0.08 p1 / (0.08 p1 + 0.92 p0).
  const { carried } = left([seen(DAY, 0, [1, 1, 1], [0, 0, 0])], DAY);
  const [p0, p1] = PLATE;
  const index = pool.connectors.findIndex(({ point }) => point === "plate");
  expect(carried.contaminated[index]).toBeCloseTo((0.08 * p1) / (0.08 * p1 + 0.92 * p0), 9);
});

test("ten weeks later, by hand: what was sound may have failed, a fault healed at 1 in 100 a week", () => {
  // Two states: from sound to faulty at a, back at 0.01; a from 26 weeks' chance being the prior.
  const chanceAfter = (a: number, weeks: number): number =>
    (a / (a + 0.01)) * (1 - Math.exp(-(a + 0.01) * weeks));
  let [low, high] = [0, 1];
  for (let turn = 0; turn < 80; turn++) {
    const middle = (low + high) / 2;
    if (chanceAfter(middle, 26) < POD) low = middle;
    else high = middle;
  }
  const sound = left([seen(DAY, 1, [0, 0, 0], [0, 0, 0])], DAY + 70);
  expect(sound.pod).toBeCloseTo(chanceAfter(low, 10), 6);
  const bad = left([seen(DAY, 0, [0, 0, 0], [1, 0, 0])], DAY + 70);
  const stays = Math.exp(-(low + 0.01) * 10);
  expect(bad.pod).toBeCloseTo(stays + chanceAfter(low, 10), 6);
});

test("a cleaning takes film off and leaves oxide: 1 - 2/3 x 0.95 of a fouled pod stay so", () => {
  const fouled = [seen(DAY, 0, [0, 0, 0], [1, 0, 0])];
  const day = "2024-10-04"; // DAY itself: 20,000 days after 1970-01-01
  const { pod } = left(fouled, DAY + 0.001, `${day},1,pod,cleaned`);
  expect(pod).toBeCloseTo(1 - (2 / 3) * 0.95, 3);
  // A second one in vain: of what is left, film is (2/3 x 0.05) to 1/3 oxide.
  const film = ((2 / 3) * 0.05) / ((2 / 3) * 0.05 + 1 / 3);
  const again = [...fouled, { ...fouled[0]!, day: DAY + 0.001, walk: "again" }];
  const next = left(again, DAY + 1.001, `${day},1,pod,cleaned\n2024-10-05,1,pod,cleaned`);
  expect(next.pod).toBeCloseTo(1 - film * 0.95, 2);
});

test("one of two that no walk could tell apart stays one of two, however often it is walked", () => {
  // Readings behind both alone: likely where either is faulty, whichever. Brute force over the states
  // of both contacts and the body gives the same as the filter; were they taken one by one, both would
  // come to be suspected.
  const walks = Array.from({ length: 4 }, () => seen(DAY, 0.001, [1, 1, 1], [1, 1, 1]));
  const { plate, pod, patterns } = left(walks, DAY);
  let [whole, ofPlate, ofPod] = [0, 0, 0];
  for (const body of [0, 1]) {
    for (const first of [0, 1]) {
      for (const second of [0, 1]) {
        const own = PLATE[body]!;
        const p =
          (body === 1 ? 0.08 : 0.92) *
          (first === 1 ? own : 1 - own) *
          (second === 1 ? POD : 1 - POD) *
          (first + second === 0 ? 0.001 : 1) ** 4;
        whole += p;
        if (first === 1) ofPlate += p;
        if (second === 1) ofPod += p;
      }
    }
  }
  expect(plate).toBeCloseTo(ofPlate / whole, 6);
  expect(pod).toBeCloseTo(ofPod / whole, 6);
  expect(patterns?.reduce((sum, { chance }) => sum + chance, 0)).toBeCloseTo(1, 9);
  const both = ofPlate / whole + ofPod / whole - 1;
  expect(both).toBeLessThan(0.15);
});

const rows = (day: string, plate: number, pod: number): string =>
  `${day}T10:00,1,touchpad,plate,${plate}\n${day}T10:00,1,touchpad,pod,${pod}\n`;
const podOf = (sheet: string, work = "", alone = false) => {
  const { readings } = readReadings(`taken_at,lane,device,point,volts\n${sheet}`, pool, "r.csv");
  const log =
    work === "" ? [] : readWorkLog(`done_at,lane,point,action\n${work}\n`, pool, "w.csv").entries;
  const season = openSeason(pool, diagnoseSeason(pool, readings, log), log, undefined, { alone })!;
  const { contacts, informedBy } = season.latest.diagnosis;
  return { informedBy, faulty: 1 - contacts.find(({ point }) => point === "pod")!.sound };
};

test("three walks that each show the same low value leave no room for a misread", () => {
  const days = ["2026-05-01", "2026-05-08", "2026-05-15"];
  const three = podOf(days.map((day) => rows(day, 4.98, 0)).join(""));
  const one = podOf(rows(days[2]!, 4.98, 0));
  expect(one.faulty).toBeLessThan(0.99);
  expect(three.faulty).toBeGreaterThan(0.999);
  expect(three.informedBy).toEqual(["2026-05-01", "2026-05-08"]);
  const alone = podOf(days.map((day) => rows(day, 4.98, 0)).join(""), "", true);
  expect(alone.informedBy).toEqual([]);
  expect(alone.faulty).toBeCloseTo(one.faulty, 9);
});

test("what was weak and then cleaned is in doubt until it is read again", () => {
  const sheet = `${rows("2026-05-01", 4.98, 4.4)}2026-05-08T10:00,1,touchpad,plate,4.98\n`;
  const left = podOf(sheet);
  const cleaned = podOf(sheet, "2026-05-04,1,pod,cleaned");
  expect(left.faulty).toBeGreaterThan(0.9);
  expect(cleaned.faulty).toBeLessThan(0.5);
  expect(cleaned.faulty).toBeGreaterThan(podOf(rows("2026-05-08", 4.98, 4.97)).faulty);
});
