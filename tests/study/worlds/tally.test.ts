import { expect, test } from "vitest";
import type { Answers } from "./answers-of.ts";
import { countAnswers, countRules, expectedSound, newTally, scoresOf } from "./tally.ts";
import type { Truth } from "./truth.ts";
import { wrongStatements } from "./wrong-statements.ts";

const truth: Truth = {
  atFault: new Set(["plate 1", "pod 2 button"]),
  lost: new Map([["plate 1", 0.4]]),
  tells: true,
  circuits: [
    { circuit: { lane: 1, device: "touchpad" }, ohms: 90, under: true, across: [] },
    { circuit: { lane: 2, device: "touchpad" }, ohms: 5, under: false, across: [] },
    { circuit: { lane: 2, device: "button" }, ohms: 60, under: true, across: [] },
  ],
  ...{ contacts: [], crossing: null, deck: { emf: 5, source: 0, load: 1000 }, mixedUp: [] },
};

const connector = (name: string, atFault: number) => ({ name, atFault, voltsLost: 0 });
const circuit = (name: string, verdict: "sound" | "weak" | "read-again") => ({
  ...{ name, verdict, reason: "", underLimit: 0 },
});

const answers: Answers = {
  connectors: [
    connector("plate 1", 0.995),
    connector("harness 2", 0.99),
    connector("pod 1 touchpad", 0.5),
    connector("pod 2 button", 0.01),
    connector("timer 1+2", 0.2),
  ],
  circuits: [
    circuit("1 touchpad", "weak"),
    circuit("2 touchpad", "weak"),
    circuit("2 button", "sound"),
  ],
  ...{ fitP: 0.004, explanations: [], logEvidence: -3, rejected: 1 },
};

test("one walk is counted as by hand", () => {
  const tally = newTally(1);
  countAnswers(tally, answers, truth);
  expect(tally.program.top).toEqual({ part: 1, whole: 1 });
  expect(tally.program.accused).toEqual({ part: 2, whole: 3 });
  const own = answers.connectors.map(({ atFault }) => atFault).filter((p) => p >= 0.5);
  expect(expectedSound(tally).whole).toBe(3);
  expect(expectedSound(tally).part).toBeCloseTo(3 - own[0]! - own[1]! - own[2]!, 12);
  expect(tally.sure).toEqual({ part: 1, whole: 2 });
  expect(tally.ruledOut).toEqual({ part: 1, whole: 1 });
  expect(tally.sound).toEqual({ part: 1, whole: 1 });
  expect(tally.under).toEqual({ part: 1, whole: 2 });
  expect(tally.weak).toEqual({ part: 1, whole: 2 });
  expect(tally.again).toEqual({ part: 0, whole: 3 });
  expect(tally.noFit).toEqual({ part: 1, whole: 1 });
  expect(tally.rejectedRows).toBe(1);
  // (0.005^2 + 0.99^2 + 0.5^2 + 0.99^2 + 0.2^2) / 5, by hand.
  expect(scoresOf(tally).brier).toBeCloseTo(0.450045, 9);
});

test("wrong statements are named one by one", () => {
  expect(wrongStatements(answers, truth, 0.1)).toEqual([
    "at fault 0.9900, but sound: harness 2",
    "weak (, P(under) 0.000, truly 5.0 ohm): 2 touchpad",
    "sound (, P(under) 0.000, truly 60.0 ohm): 2 button",
  ]);
  expect(
    wrongStatements(answers, { ...truth, lost: new Map([["pod 2 button", 0.3]]) }, 0.1),
  ).toContain("at fault 0.0100, but took 0.30 V: pod 2 button");
});

test("a walk without a telling fault has no top, but its accusations count", () => {
  const tally = newTally(1);
  const sound: Truth = { ...truth, atFault: new Set(), lost: new Map(), tells: false };
  countAnswers(tally, answers, sound);
  countRules(tally, [{ first: "plate 1", accused: new Set(["plate 1"]) }], sound);
  expect(tally.program.top).toEqual({ part: 0, whole: 0 });
  expect(tally.program.accused).toEqual({ part: 3, whole: 3 });
  expect(tally.rules[0]!.accused).toEqual({ part: 1, whole: 1 });
});

test("a circuit that nobody read is an error of the study, not of the program", () => {
  const stray = { ...answers, circuits: [circuit("9 touchpad", "sound")] };
  expect(() => countAnswers(newTally(1), stray, truth)).toThrow("9 touchpad");
});
