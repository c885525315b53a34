import { expect, test } from "vitest";
import { assumedCosts } from "../../../src/domain/assumed.ts";
import { connectorDefaults, defaultCosts } from "../../../src/domain/costs.ts";
import { readPool } from "../../../src/intake/pool/read-pool.ts";

const pool = "pool: Kestrel Bay\nlanes: 8\ndevices: [touchpad, button-1]\n";
const read = (costs: string) => readPool(`${pool}${costs}`, "pool.yaml");
const messages = (costs: string): string[] => {
  const result = read(costs);
  return result.ok ? [] : result.error.map((fault) => `${fault.place}: ${fault.message}`);
};

test("without the section every default is filled in, for every point of the chain", () => {
  const result = read("");
  if (!result.ok) throw new Error("refused");
  expect(result.value.costs).toEqual(defaultCosts(result.value.links));
  expect(Object.keys(result.value.costs?.connectors ?? {})).toEqual([
    "timer",
    "harness",
    "plate",
    "pod",
  ]);
  expect(result.value.costs?.connectors["pod"]).toEqual(connectorDefaults.device);
});

test("one number keeps the standard range, widened to hold it; a range of one's own stands", () => {
  const result = read(
    "costs:\n  currency: EUR\n  labour_per_hour: 120\n  lost_lane: { value: 60, low: 50, high: 70 }\n" +
      "  connectors:\n    plate: { part: 95 }\n",
  );
  if (!result.ok) throw new Error("refused");
  const costs = result.value.costs;
  expect(costs?.currency).toBe("EUR");
  expect(costs?.labourPerHour).toEqual({
    value: 120,
    low: assumedCosts.labourPerHour.low,
    high: 120,
  });
  expect(costs?.lostLane).toEqual({ value: 60, low: 50, high: 70 });
  expect(costs?.connectors["plate"]).toEqual({ ...connectorDefaults.lane, part: 95 });
});

test("what cannot be is refused with its place, what was found and what is allowed", () => {
  expect(messages("costs: { discount_rate: 3 }")).toEqual([
    expect.stringMatching(/^costs\.discount_rate: found 3; allowed: .*from 0 to 0\.5/),
  ]);
  expect(messages("costs: { labor_per_hour: 40 }")[0]).toMatch(/labour_per_hour/);
  expect(messages("costs: { currency: euro }")[0]).toMatch(/^costs\.currency: found 'euro'/);
  expect(messages("costs: { connectors: { plait: { part: 9 } } }")[0]).toMatch(
    /costs\.connectors\.plait: 'plait' is no point of the chain; allowed: timer, harness/,
  );
  expect(messages("costs: { lost_lane: { value: 5, low: 6, high: 7 } }")[0]).toMatch(
    /^costs\.lost_lane: .*low <= value <= high/,
  );
  expect(messages("costs: { connectors: { plate: { part: cheap } } }")[0]).toMatch(
    /^costs\.connectors\.plate\.part: found 'cheap'; allowed: currency from 0/,
  );
});

test("a meet swims in no more lanes than the pool has", () => {
  const four = (lanes: string): readonly string[] => {
    const file = `pool: Kestrel Bay\nlanes: ${lanes}\ndevices: [touchpad]\n`;
    return [4, 5].flatMap((atRisk) => {
      const read = readPool(`${file}costs: { lanes_at_risk: ${atRisk} }\n`, "pool.yaml");
      return read.ok ? [] : read.error.map((one) => `${one.place}: ${one.message}`);
    });
  };
  const refused = "costs.lanes_at_risk: found 5; allowed: at most 4, the pool's lanes";
  expect(four("4")).toEqual([refused]);
  expect(four("[1, 2, 3, warm-up]")).toEqual([refused]);
});

test("every default lies in its range, and the range in what is allowed", () => {
  for (const each of Object.values(assumedCosts)) {
    expect(each.low).toBeLessThanOrEqual(each.value);
    expect(each.high).toBeGreaterThanOrEqual(each.value);
    expect(each.least).toBeLessThanOrEqual(each.low);
    expect(each.most).toBeGreaterThanOrEqual(each.high);
  }
});
