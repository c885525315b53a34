import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { ConnectorFinding, ContactFinding, WalkDiagnosis } from "../../src/domain/findings.ts";
import { pathAtFault } from "../../src/meet/path-at-fault.ts";
import { falseRates, missedRates, touchBlame } from "../../src/meet/touch-blame.ts";
import { touchProof } from "../../src/meet/touch-proof.ts";
import { touchRate } from "../../src/meet/touch-rate.ts";
import { emptyWalk, steady } from "../made-findings.ts";
import { placeOf } from "../plain-pool.ts";

describe("touch rate", () => {
  // Source: scipy.stats.beta.ppf, SciPy 1.17.1, Jeffreys prior, 95 %.
  test.each([
    [0, 0.0000934206, 0.3793771423],
    [1, 0.022512766, 0.6286264006],
    [2, 0.0943903273, 0.7905833359],
    [5, 0.6206228577, 0.9999065794],
  ])("%d missed of five: Jeffreys interval", (missed, low, high) => {
    const rate = touchRate(missed, 5, { a: 0.5, b: 0.5 }, 0.95);
    expect(rate.equalTailed[0]).toBeCloseTo(low, 8);
    expect(rate.equalTailed[1]).toBeCloseTo(high, 8);
  });

  test("no miss in five: the shortest interval starts at zero and is shorter", () => {
    const rate = touchRate(0, 5, { a: 0.5, b: 0.5 });
    expect(rate.shortest[0]).toBe(0);
    expect(rate.shortest[1]).toBeLessThan(rate.equalTailed[1]);
  });

  // Source: check values G8-09 (computed): Beta(1,1) and 8 of 10.
  test("eight of ten under a flat prior has mean 0.75", () => {
    expect(touchRate(8, 10, { a: 1, b: 1 }).mean).toBeCloseTo(0.75, 12);
  });

  // Independent: the share of five-press counts whose interval holds a rate drawn from the prior
  // is the interval's mass, exactly; summed here over a grid of the prior's quantiles.
  test("at five tries the interval holds what it says it holds, averaged over the prior", () => {
    const steps = 2000;
    const rates = [0, 1, 2, 3, 4, 5].map((missed) => touchRate(missed, 5, { a: 1, b: 1 }, 0.9));
    let held = 0;
    for (let i = 0; i < steps; i += 1) {
      const p = (i + 0.5) / steps;
      [1, 5, 10, 10, 5, 1].forEach((ways, missed) => {
        const [low, high] = rates[missed]?.equalTailed ?? [1, 0];
        if (p >= low && p <= high) held += (ways * p ** missed * (1 - p) ** (5 - missed)) / steps;
      });
    }
    expect(held).toBeCloseTo(0.9, 2);
  });
});

describe("presses until proven", () => {
  // By hand: under Beta(1, 1) and no miss, P(rate <= t) after n presses is 1 - (1 - t)^(n + 1).
  test("with a flat prior the count follows the closed form", () => {
    const closed = (t: number, c: number): number =>
      Math.ceil(Math.log(1 - c) / Math.log(1 - t) - 1);
    for (const [t, c] of [
      [0.05, 0.95], // 58
      [0.1, 0.9], // 21
      [0.2, 0.8], // 7
    ] as const)
      expect(touchProof({ a: 1, b: 1 }, { tolerated: t, confidence: c }).pressesIfAllRegister).toBe(
        closed(t, c),
      );
  });

  // By hand: Beta(1, 1) prior predictive of n hits in n is 1 / (n + 1).
  test("the chance that all register is the beta-binomial's", () => {
    const proof = touchProof({ a: 1, b: 1 }, { tolerated: 0.2, confidence: 0.8 });
    expect(proof.pressesIfAllRegister).toBe(7);
    expect(proof.chanceAllRegister).toBeCloseTo(1 / 8, 12);
  });

  // Independent: every string of presses is enumerated, each weighed by Pólya's urn.
  test("the chance of being proven equals enumeration of all press strings", () => {
    const rule = { tolerated: 0.3, confidence: 0.75 };
    const prior = { a: 1, b: 2 };
    const simpson = (a: number, b: number, to: number): number => {
      const n = 2000;
      let sum = 0;
      for (let i = 0; i <= n; i += 1) {
        const x = (to * i) / n;
        const weight = i === 0 || i === n ? 1 : i % 2 === 1 ? 4 : 2;
        sum += weight * x ** (a - 1) * (1 - x) ** (b - 1);
      }
      return (sum * to) / n / 3;
    };
    const good = (a: number, b: number): number => simpson(a, b, rule.tolerated) / simpson(a, b, 1);
    const walk = (a: number, b: number, left: number): number => {
      const g = good(a, b);
      if (g >= rule.confidence) return 1;
      if (1 - g >= rule.confidence || left === 0) return 0;
      const miss = a / (a + b);
      return miss * walk(a + 1, b, left - 1) + (1 - miss) * walk(a, b + 1, left - 1);
    };
    const proof = touchProof(prior, rule, undefined, 9);
    expect(proof.chanceProven).toBeCloseTo(walk(prior.a, prior.b, 9), 9);
  });

  // By hand: 0.9 of pads never miss more than rarely, Beta(1, 49); 0.1 miss any share, Beta(1, 1).
  // All of 7 register with 0.9 * 49/56 + 0.1 * 1/8 = 0.8.
  test("what is foreseen mixes the states of affairs, what is proven does not", () => {
    const states = [
      { weight: 0.9, rate: { a: 1, b: 49 } },
      { weight: 0.1, rate: { a: 1, b: 1 } },
    ];
    const rule = { tolerated: 0.2, confidence: 0.8 };
    const proof = touchProof({ a: 1, b: 1 }, rule, states);
    expect(proof.pressesIfAllRegister).toBe(7);
    expect(proof.chanceAllRegister).toBeCloseTo(0.8, 12);
    expect(proof.chanceProven).toBeGreaterThan(0.8);
    expect(proof.medianPresses).toBe(7);
  });

  test("a pad that misses half its touches is not good enough, and no press count hides it", () => {
    const proof = touchProof({ a: 10.5, b: 10.5 }, { tolerated: 0.1, confidence: 0.9 });
    expect(proof.state).toBe("not good enough");
    expect(proof.chanceProven).toBe(0);
  });
});

describe("whose fault missed touches are", () => {
  // By hand, flat arithmetic: two misses of five; beta-binomial weights are
  // 10 B(2+a, 3+b)/B(a, b): neither 0.0071..., and so on, computed by direct quadrature below.
  const byQuadrature = (a: number, b: number, k: number, n: number): number => {
    const steps = 40000;
    let up = 0;
    let norm = 0;
    for (let i = 0; i < steps; i += 1) {
      const p = (i + 0.5) / steps;
      const density = p ** (a - 1) * (1 - p) ** (b - 1);
      up += density * p ** k * (1 - p) ** (n - k);
      norm += density;
    }
    return up / norm; // the binomial coefficient is common to all four and cancels
  };

  test("equals Bayes' rule by quadrature", () => {
    const [path, pad] = [0.3, 0.05];
    const w = [
      (1 - path) * (1 - pad) * byQuadrature(1, 49, 2, 5),
      path * (1 - pad) * byQuadrature(1, 3, 2, 5),
      (1 - path) * pad * byQuadrature(1, 1.5, 2, 5),
      path * pad * byQuadrature(1, 1, 2, 5),
    ];
    const total = w.reduce((a, b) => a + b, 0);
    const blame = touchBlame({ events: 2, tried: 5 }, path, pad);
    [blame.neither, blame.path, blame.pad, blame.both].forEach((share, i) => {
      expect(share).toBeCloseTo((w[i] ?? 0) / total, 4);
    });
  });

  // Source: check values G8-01 (verified, quoted): prior 1 %, 80 % against 9.6 % gives 0.07764.
  // One press with point-like rates turns the rule into the textbook's test.
  test("one press with sharp rates is the textbook diagnostic test", () => {
    const sharp = (rate: number) => ({ a: rate * 1e7, b: (1 - rate) * 1e7 });
    const rates = {
      neither: sharp(0.096),
      path: sharp(0.8),
      pad: sharp(0.5),
      both: sharp(0.5),
    };
    const blame = touchBlame({ events: 1, tried: 1 }, 0.01, 0, rates);
    expect(blame.pathAtFault).toBeCloseTo(0.07764, 5);
  });

  test("misses with a good path point to the pad, with a weak path to the path", () => {
    expect(touchBlame({ events: 3, tried: 5 }, 0.01, 0.05).pointsTo).toBe("pad");
    expect(touchBlame({ events: 3, tried: 5 }, 0.95, 0.05).pointsTo).toBe("path");
    expect(touchBlame({ events: 0, tried: 5 }, 0.01, 0.05).pointsTo).toBe("neither");
  });

  test("probabilities sum to one, and more misses never clear anybody", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0, max: 0.9, noNaN: true }),
        fc.integer({ min: 1, max: 40 }),
        fc.constantFrom(missedRates, falseRates),
        (path, pad, tried, rates) => {
          let before = 1;
          for (let events = 0; events <= tried; events += 1) {
            const blame = touchBlame({ events, tried }, path, pad, rates);
            expect(blame.neither + blame.path + blame.pad + blame.both).toBeCloseTo(1, 9);
            expect(blame.neither).toBeLessThanOrEqual(before + 1e-9);
            before = blame.neither;
          }
        },
      ),
      { numRuns: 50 },
    );
  });
});

describe("the path's own probability", () => {
  const contact = (point: string, sound: number): ContactFinding => ({
    lane: 3,
    device: "touchpad",
    end: null,
    point,
    sound,
    fouled: 1 - sound,
    open: 0,
    ...steady,
    ohms: { median: 1, low: 0, high: 2 },
    voltsLost: 0,
  });
  const connector = (
    point: string,
    sound: number,
    inseparableFrom: string[],
  ): ConnectorFinding => ({
    ...placeOf(point, 3),
    connector: point,
    atFault: 1 - sound,
    voltsLost: 0,
    circuits: ["touchpad"],
    worst: contact(point, sound),
    fails: [],
    evidence: [],
    inseparableFrom,
    wouldSeparate: null,
  });
  const walk = (
    contacts: ContactFinding[],
    connectors: ConnectorFinding[] = [],
  ): WalkDiagnosis => ({
    ...emptyWalk,
    connectors,
    contacts,
  });

  test("independent doubts multiply", () => {
    const got = pathAtFault(walk([contact("plate", 0.9), contact("pod", 0.8)]), {
      lane: 3,
      device: "touchpad",
      end: null,
    });
    expect(got).toBeCloseTo(1 - 0.9 * 0.8, 12);
  });

  test("one fault that two contacts share is counted once", () => {
    const got = pathAtFault(
      walk(
        [contact("plate", 0.5), contact("pod", 0.5)],
        [connector("plate", 0.5, ["pod"]), connector("pod", 0.5, ["plate"])],
      ),
      { lane: 3, device: "touchpad", end: null },
    );
    expect(got).toBe(1);
  });

  test("a circuit that nobody read has no probability", () => {
    expect(
      pathAtFault(walk([contact("plate", 0.5)]), { lane: 4, device: "touchpad", end: null }),
    ).toBeNull();
  });
});
