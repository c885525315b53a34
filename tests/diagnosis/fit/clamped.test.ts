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
