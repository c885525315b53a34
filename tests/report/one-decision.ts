import type { Action } from "../../src/domain/courses.ts";
import type { Course, Decision } from "../../src/domain/decision.ts";
import { placeOf } from "../plain-pool.ts";

/** A course at 100, as good as any. */
export const course = (kind: Action, over: Partial<Course> = {}): Course => ({
  kind,
  presentCost: 100,
  chanceBest: 0.19,
  ...over,
});

/** A plate connector of lane 3 that is cleaned. */
export const decision: Decision = {
  place: { ...placeOf("plate", 3), connector: "plate connector" },
  atFault: 0.97,
  open: 0,
  film: 0.6,
  weeksHeld: [
    { weeks: 6, atLeast: true },
    { weeks: 2, atLeast: false },
    { weeks: 2.2, atLeast: false },
  ],
  action: "clean",
  sure: 0.62,
  presentCost: 80,
  courses: [
    course("wait"),
    course("read-again", { chanceBest: 0 }),
    course("clean", { chanceBest: 0.62, presentCost: 80 }),
    course("replace"),
  ],
  thresholds: { first: "clean", cleanUnder: 4.83, replaceUnder: 4.6, replaceAfter: 2 },
  lastPoint: "pod",
  lookMinutes: 4,
  lookCost: 2.67,
  ifNoBreak: null,
  cleanMinutes: 12,
  replaceMinutes: 40,
  cleanCost: 8,
  replaceCost: 146.67,
  breakEvenPart: 100,
  stillLowAfterCleaning: false,
};
