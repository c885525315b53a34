import { expect, test } from "vitest";
import { clamped } from "../../../src/diagnosis/fit/clamped.ts";
import type { WalkDiagnosis } from "../../../src/domain/findings.ts";

test("nothing of a walk that does not fit is over 95 %, and states still sum to 1", () => {
  const contact = {
    ...{ lane: 1, device: "touchpad", end: null, point: "pod", voltsLost: 0 },
    ...{ sound: 0.002, fouled: 0.99, open: 0.006, cable: 0.003, intermittent: 0.002 },
    ohms: { median: 60, low: 50, high: 70 },
  };
  const walk = {
    ...{ connectors: [], circuits: [], explanations: [] },
    contacts: [contact],
  } as unknown as WalkDiagnosis;
  const [cut] = clamped(walk).contacts;
  expect(cut!.fouled).toBe(0.95);
  expect(cut!.sound + cut!.fouled + cut!.open + cut!.intermittent).toBeCloseTo(1, 12);
  expect(cut!.cable / cut!.open).toBeCloseTo(0.5, 12);
});

const contactOf = (of: Partial<WalkDiagnosis["contacts"][number]>) => ({
  ...{ lane: 1, device: "touchpad", end: null, point: "pod", voltsLost: 0 },
  ...{ sound: 0, fouled: 0, open: 0, cable: 0, intermittent: 0, ...of },
  ohms: { median: 60, low: 50, high: 70 },
});
const cutContact = (of: Partial<WalkDiagnosis["contacts"][number]>) => {
  const walk = { connectors: [], circuits: [], explanations: [], contacts: [contactOf(of)] };
  return clamped(walk as unknown as WalkDiagnosis).contacts[0]!;
};

test("what a certain state gives up goes to the others as they are to each other, else evenly", () => {
  // 0.05 over 0.04 that is left: sound 0.03 becomes 0.0375.
  const most = cutContact({ fouled: 0.96, sound: 0.03, intermittent: 0.01 });
  expect(most.sound).toBeCloseTo(0.0375, 12);
  expect(most.intermittent).toBeCloseTo(0.0125, 12);
  expect(most.open).toBe(0);
  const even = cutContact({ open: 1, cable: 0.25 });
  expect([even.open, even.sound, even.fouled, even.intermittent].map((p) => p.toFixed(4))).toEqual([
    ...["0.9500", "0.0167", "0.0167", "0.0167"],
  ]);
  expect(even.cable).toBeCloseTo(0.2375, 12);
  expect(cutContact({ fouled: 0.95, sound: 0.05 })).toMatchObject({ fouled: 0.95, sound: 0.05 });
});

test("connectors, circuits and explanations are cut alike, and a limit that judges nothing stays", () => {
  const walk = {
    connectors: [
      {
        atFault: 0.99,
        worst: contactOf({ fouled: 1 }),
        fails: [{ how: "fouled", probability: 1 }],
      },
      { atFault: 0.4, worst: contactOf({ sound: 0.6, fouled: 0.4 }), fails: [] },
    ],
    circuits: [
      { underLimit: 0.999, conducting: [{ kind: "stuck", probability: 0.97 }] },
      { underLimit: null, conducting: [] },
      { underLimit: 0.2, conducting: [] },
    ],
    explanations: [
      { kind: "stuck", probability: 0.97 },
      { kind: "wet", probability: 0.03 },
    ],
    contacts: [],
  } as unknown as WalkDiagnosis;
  const { connectors, circuits, explanations } = clamped(walk);
  expect(connectors.map(({ atFault }) => atFault)).toEqual([0.95, 0.4]);
  expect(connectors[0]!.worst.fouled).toBe(0.95);
  expect(connectors[0]!.fails[0]!.probability).toBe(0.95);
  expect(circuits.map(({ underLimit }) => underLimit)).toEqual([0.95, null, 0.2]);
  expect(circuits[0]!.conducting[0]!.probability).toBe(0.95);
  expect(explanations.map(({ probability }) => probability)).toEqual([0.95, 0.03]);
});

test("a contact that nothing is certain of stays as it is, one that is not open has no cable", () => {
  const even = { sound: 0.5, fouled: 0.3, open: 0.1, cable: 0.04, intermittent: 0.1 };
  expect(cutContact(even)).toMatchObject(even);
  // 0.05 over 0.04: what is open has its part in what is left.
  const most = cutContact({ fouled: 0.96, sound: 0.02, open: 0.02, cable: 0.01 });
  expect(most.sound).toBeCloseTo(0.025, 12);
  expect(most.open).toBeCloseTo(0.025, 12);
  expect(most.cable).toBeCloseTo(0.0125, 12);
  expect(cutContact({ fouled: 0.99, sound: 0.01 }).cable).toBe(0);
});
