import { expect, test } from "vitest";
import { isLaneLost, needsOf } from "../../src/domain/lane-needs.ts";
import { tenLanes } from "../facility/ten-lanes.ts";

const needs = { first: "touchpad", fallBack: ["button-1", "button-2"], atLeast: 1 };

test("a dead fall-back beside a working touchpad is not a lost lane", () => {
  expect(isLaneLost(needs, (device) => device !== "button-1")).toBe(false);
  expect(isLaneLost(needs, (device) => device !== "touchpad")).toBe(false);
  expect(isLaneLost(needs, () => false)).toBe(true);
  expect(isLaneLost({ ...needs, atLeast: 2 }, (device) => device === "touchpad")).toBe(true);
});

test("a lane needs what the pool file says, of the devices that it has", () => {
  const pool = tenLanes();
  expect(needsOf(pool, 2)).toEqual(needs);
  expect(needsOf({ ...pool, laneNeeds: null }, 2)).toEqual({
    first: "touchpad",
    fallBack: ["button-1", "button-2", "button-3"],
    atLeast: 1,
  });
  expect(needsOf(pool, "no lane")).toBeNull();
});
