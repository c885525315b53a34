import { expect, test } from "vitest";
import { trendsOf } from "../../study/seasons-study.ts";
import { inventSeason } from "../../study/seasons-world.ts";

/**
 * Growth linear in ohms, by a generator that shares no code with the model: truth is what it drew. In
 * this season the rows of growth that a first round had left of one contact were ruled out for its
 * class by the next, and nothing was left.
 */
test("a contact of which its class rules out all that was left is taken up all over again", () => {
  const season = inventSeason("linear", 60);
  const found = trendsOf(season);
  expect(found).toHaveLength(6);
  for (const { lane, from, crossing } of found) {
    const truth = from + 7 * season.weeksLeft[season.lanes.indexOf(lane as number)]!;
    expect(crossing, `lane ${lane}`).not.toBeNull();
    expect(crossing!.low, `lane ${lane}`).toBeLessThanOrEqual(truth);
    expect(crossing!.high, `lane ${lane}`).toBeGreaterThanOrEqual(truth);
  }
});
