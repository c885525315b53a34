import { describe, expect, test } from "vitest";
import type { AgeingLaw } from "../../src/ageing/ageing-law.ts";
import { costsOf } from "../../src/domain/costs.ts";
import type { Pool } from "../../src/domain/pool.ts";
import { madePool } from "../../src/intake/pool/made-pool.ts";
import { growthModes, kindsOf } from "../../src/policy/connector-law.ts";

const law = (linear: number): AgeingLaw => ({
  notGrowing: 0.4,
  linear,
  logRate: { median: 0.1, logSd: 0.6 },
  ohmRate: { median: 0.8, logSd: 0.9 },
  scatter: 0.12,
  steps: { perWeek: 0, touched: 0.4, rise: 0.5 },
});
const weight = (modes: readonly { readonly weight: number }[]): number =>
  modes.reduce((sum, each) => sum + each.weight, 0);

describe("growths of a new contact", () => {
  test("none, by a share and by ohms, with their chances", () => {
    const modes = growthModes(law(0.25));
    const of = (kind: string) => modes.filter((mode) => mode.kind === kind);
    expect(of("flat")).toEqual([{ kind: "flat", rate: 0, weight: 0.4 }]);
    expect(weight(of("log"))).toBeCloseTo(0.6 * 0.75, 12);
    expect(weight(of("ohm"))).toBeCloseTo(0.6 * 0.25, 12);
    expect(weight(modes)).toBeCloseTo(1, 12);
  });

  // Three nodes of Gauss and Hermite have the mean, spread and third moment of the normal law.
  test("rates are log-normal about their median", () => {
    const logs = growthModes(law(0)).filter(({ kind }) => kind === "log");
    const mean =
      logs.reduce((sum, mode) => sum + mode.weight * Math.log(mode.rate), 0) / weight(logs);
    const spread =
      logs.reduce((sum, mode) => sum + mode.weight * (Math.log(mode.rate) - mean) ** 2, 0) /
      weight(logs);
    expect(mean).toBeCloseTo(Math.log(0.1), 6);
    expect(Math.sqrt(spread)).toBeCloseTo(0.6, 3);
    const ohms = growthModes(law(1)).filter(({ kind }) => kind === "ohm");
    expect(ohms.map(({ rate }) => rate).toSorted((a, b) => a - b)[1]).toBeCloseTo(0.8, 9);
  });

  test("a kind that is less likely than one in twenty is left out", () => {
    const kinds = (linear: number) => new Set(growthModes(law(linear)).map(({ kind }) => kind));
    expect(kinds(0.04)).toEqual(new Set(["flat", "log"]));
    expect(kinds(0.06)).toEqual(new Set(["flat", "log", "ohm"]));
    expect(kinds(0.96)).toEqual(new Set(["flat", "ohm"]));
    for (const linear of [0.04, 0.96]) expect(weight(growthModes(law(linear)))).toBeCloseTo(1, 12);
  });
});

const made = (more: Readonly<Record<string, unknown>> = {}): Pool =>
  madePool({
    ...{ pool: "Kestrel Bay", model: "plain", lanes: 2, devices: ["touchpad", "button-1"] },
    chain: [
      {
        point: "plate",
        connector: "plate",
        shared_by: "lane",
        wire_ohms: 2,
        fouled: 0.1,
        class: "plate",
      },
      {
        point: "pod",
        connector: "pod",
        shared_by: "device",
        wire_ohms: 0.3,
        fouled: 0.2,
        class: "pod",
      },
    ],
    ...more,
  });

describe("kinds of connectors", () => {
  test("connectors alike are of one kind, others of another; each has as many contacts as circuits", () => {
    const pool = made();
    const kinds = kindsOf(pool, costsOf(pool), null);
    const named = pool.connectors.map(({ point }, k) => [
      point,
      kinds[k]!.name,
      kinds[k]!.contacts,
    ]);
    expect(named).toEqual([
      ["plate", "kind 1", 2],
      ["plate", "kind 1", 2],
      ...Array(4).fill(["pod", "kind 2", 1]),
    ]);
  });

  test("another price makes another kind", () => {
    const pool = made({
      costs: { connectors: { pod: { part: 77, replace_minutes: 30 } }, labour_per_hour: 60 },
    });
    const pod = kindsOf(pool, costsOf(pool), null).at(-1)!;
    expect(pod.prices.replace).toBeCloseTo(77 + 30, 12);
  });

  // The rates are of a contact that was sound 26 weeks ago: -ln(1 - p) / 26.
  test("what befalls a contact comes from the pool file's chances", () => {
    const pool = made({ model: { open_per_fouled: 0.1, cable_break: 0.002, intermittent: 0.01 } });
    const { law: pod } = kindsOf(pool, costsOf(pool), null).at(-1)!;
    const rate = (chance: number): number => -Math.log(1 - chance) / 26;
    expect(pod.rates.fouled).toBeCloseTo(rate(0.2), 12);
    expect(pod.rates.open).toBeCloseTo(rate(0.1 * 0.2 + 0.002), 12);
    expect(pod.rates.intermittent).toBeCloseTo(rate(0.01), 12);
    expect(pod.mendable).toBeCloseTo(0.2, 12);
    expect(pod.oxide).toBeCloseTo(1 / 3, 12);
    expect(pod.steps.perWeek).toBe(0);
  });

  test("levels lie about the pool file's medians; life is in weeks", () => {
    const pool = made({ costs: { connectors: { pod: { life_years: 8, life_shape: 2 } } } });
    const { law: pod } = kindsOf(pool, costsOf(pool), null).at(-1)!;
    const mean = (nodes: readonly { readonly value: number; readonly weight: number }[]) =>
      nodes.reduce((sum, { value, weight: of }) => sum + of * value, 0);
    expect(mean(pod.floor)).toBeCloseTo(Math.log(0.2), 9);
    expect(mean(pod.fouled)).toBeCloseTo(Math.log(60), 9);
    expect(pod.life.shape).toBe(2);
    expect(pod.life.scale).toBeCloseTo(8 * 52, 9);
  });

  // 5000 / 4.8 - 1000 = 41.67 ohm for the path, of which 2.3 of wire and one sound contact are 2.5.
  test("a contact is over its limit where the rest of the path leaves off", () => {
    const pool = made();
    const [plate] = kindsOf(pool, costsOf(pool), null);
    expect(Math.exp(plate!.law.limit.logOhms)).toBeCloseTo(5000 / 4.8 - 1000 - 2.5, 9);
    expect(plate!.law.limit.scatter).toBeCloseTo(0.12, 12);
    const tight = made({ limit: { ohms: 2.6 } });
    // Never under twice what a sound one has.
    expect(Math.exp(kindsOf(tight, costsOf(tight), null)[0]!.law.limit.logOhms)).toBeCloseTo(
      0.4,
      9,
    );
  });
});
