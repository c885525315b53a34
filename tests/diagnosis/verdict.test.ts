import { describe, expect, test } from "vitest";
import { judge, type SeenCircuit, type SeenReading } from "../../src/diagnosis/verdict.ts";
import type { ConductingFinding, ContactFinding } from "../../src/domain/findings.ts";
import { steady } from "../made-findings.ts";
import { type Shown, sheet, smallPool } from "../reference/builders.ts";

/** The rules of section 8 one by one, each from a circuit that is sound but for one thing. */
const [circuit] = smallPool([1], ["a"]).circuits;
const points = circuit!.path.map(({ point }) => point);

const contact = (point: string, over: Partial<ContactFinding> = {}): ContactFinding => ({
  ...{ lane: 1, device: "a", end: null, point, sound: 1, fouled: 0, open: 0, ...steady },
  ...{ ohms: { median: 0.2, low: 0.1, high: 0.4 }, voltsLost: 0 },
  ...over,
});
const shown = (
  values: readonly (readonly [point: string, volts: number, doubts?: Partial<SeenReading>])[],
): SeenReading[] =>
  sheet(values.map(([point, volts]): Shown => [1, "a", point, volts])).map((reading, i) => ({
    ...{ misread: 0, off: 0, badMoment: 0, reading, isLow: reading.volts < 4.8 },
    ...values[i]![2],
  }));
const sound: SeenCircuit = {
  circuit: circuit!,
  contacts: points.map((point) => contact(point)),
  conducting: [],
  underLimit: 0.01,
  limitNeeds: "unknown-load",
  readings: shown([["pod", 4.97]]),
  seesLimit: true,
  loadUnknown: false,
  misfits: [],
};
const verdictOf = (over: Partial<SeenCircuit>) => judge({ ...sound, ...over }).judgement;
const leak = (probability: number): ConductingFinding[] => [
  { kind: "leaking", point: "pod", probability },
];

test("a circuit that breaks no rule is sound, and nothing is to be read again", () => {
  expect(judge(sound)).toEqual({
    judgement: { verdict: "sound", reason: "within-limit" },
    readAgain: [],
  });
});

describe("sound needs", () => {
  test("P(under the limit) of 0.05 at most", () => {
    expect(verdictOf({ underLimit: 0.05 }).verdict).toBe("sound");
    expect(verdictOf({ underLimit: 0.051 })).toEqual({
      verdict: "read-again",
      reason: "near-limit",
    });
  });

  test("a limit that judges something, on a meter that would have shown it", () => {
    expect(verdictOf({ underLimit: null }).reason).toBe("unknown-load");
    expect(verdictOf({ underLimit: null, limitNeeds: "blind-meter" }).reason).toBe("blind-meter");
    expect(verdictOf({ seesLimit: false }).reason).toBe("blind-meter");
    expect(verdictOf({ seesLimit: false, loadUnknown: true }).reason).toBe("unknown-load");
  });

  test("its last point read", () => {
    expect(verdictOf({ readings: shown([["plate", 4.97]]) }).reason).toBe("not-read");
  });

  test("P(any contact comes and goes) of 0.1 at most, over all contacts", () => {
    const two = (each: number) =>
      points.map((point, k) => contact(point, k < 2 ? { intermittent: each } : {}));
    expect(verdictOf({ contacts: two(0.05) }).verdict).toBe("sound");
    expect(verdictOf({ contacts: two(0.06) }).reason).toBe("moves");
  });

  test("P(conducting) of 0.05 at most", () => {
    expect(verdictOf({ conducting: leak(0.05) }).verdict).toBe("sound");
    expect(verdictOf({ conducting: leak(0.06) }).reason).toBe("conducting");
  });

  test("a walk that fits", () => {
    const found = judge({ ...sound, misfits: ["plate"] });
    expect(found.judgement).toEqual({ verdict: "read-again", reason: "does-not-fit" });
    expect(found.readAgain).toMatchObject([{ point: "plate", why: "does-not-fit" }]);
  });

  test("no low value that is explained away and not read again twice since", () => {
    const odd = ["pod", 2.1, { misread: 0.97 }] as const;
    const good = ["pod", 4.97] as const;
    const before = judge({ ...sound, readings: shown([good, odd, good]) });
    expect(before.judgement.reason).toBe("one-odd-value");
    expect(before.readAgain[0]!.shown).toMatchObject({ volts: 2.1, doubt: 0.97 });
    expect(verdictOf({ readings: shown([odd, good, good]) }).verdict).toBe("sound");
    // Two good readings elsewhere say nothing of this point.
    expect(verdictOf({ readings: shown([good, odd, ["plate", 4.98], good]) }).verdict).toBe(
      "read-again",
    );
  });

  test("what explains a value away gives the reason", () => {
    const off = ["pod", 0, { off: 0.6, misread: 0.3 }] as const;
    expect(verdictOf({ readings: shown([off, ["pod", 4.97]]) }).reason).toBe("display-off");
    const bad = ["pod", 3, { badMoment: 0.7, misread: 0.2 }] as const;
    expect(verdictOf({ readings: shown([bad, ["pod", 4.97]]) }).reason).toBe("moves");
  });

  test("an odd value that is not low keeps a circuit sound, but is worth a second look", () => {
    const high = judge({ ...sound, readings: shown([["pod", 5.3, { misread: 0.9 }]]) });
    expect(high.judgement.verdict).toBe("sound");
    expect(high.readAgain).toMatchObject([{ point: "pod", why: "one-odd-value" }]);
  });
});

describe("weak is", () => {
  test("P(under the limit) of 0.95 or more", () => {
    expect(verdictOf({ underLimit: 0.949 }).verdict).toBe("read-again");
    expect(verdictOf({ underLimit: 0.95 })).toEqual({ verdict: "weak", reason: "under-limit" });
  });

  test("a fault that stands and takes it there, where the limit itself judges nothing", () => {
    const unjudged = { underLimit: null };
    const open = points.map((point) => contact(point, point === "plate" ? { open: 0.96 } : {}));
    expect(verdictOf({ ...unjudged, contacts: open })).toEqual({ verdict: "weak", reason: "open" });
    const shaky = points.map((point) =>
      contact(point, point === "plate" ? { intermittent: 0.96 } : {}),
    );
    expect(verdictOf({ ...unjudged, contacts: shaky }).reason).toBe("comes-and-goes");
    expect(verdictOf({ ...unjudged, conducting: leak(0.96) }).reason).toBe("conducting");
  });

  test("weak where it is known, whatever else is odd", () => {
    expect(verdictOf({ underLimit: 0.99, misfits: ["pod"] }).verdict).toBe("weak");
  });
});

test("what stands at 95 % makes a circuit weak, be the limit what it may", () => {
  const one = (of: Partial<ContactFinding>) =>
    points.map((point) => contact(point, point === "plate" ? of : {}));
  const weak = (reason: string) => ({ verdict: "weak", reason });
  expect(verdictOf({ contacts: one({ open: 0.95 }) })).toEqual(weak("open"));
  expect(verdictOf({ contacts: one({ intermittent: 0.95 }) })).toEqual(weak("comes-and-goes"));
  expect(verdictOf({ conducting: leak(0.95) })).toEqual(weak("conducting"));
  expect(verdictOf({ conducting: leak(0.949) })).toEqual({
    verdict: "read-again",
    reason: "conducting",
  });
});

describe("what to read again", () => {
  const again = (over: Partial<SeenCircuit>) =>
    judge({ ...sound, ...over }).readAgain.map(
      ({ point, why, shown: value }) => `${point} ${why}${value === null ? "" : ` ${value.volts}`}`,
    );

  test("each place once, for its gravest reason", () => {
    expect(again({ misfits: ["pod", "plate"], underLimit: 0.5 })).toEqual([
      ...["pod does-not-fit", "plate does-not-fit"],
    ]);
    expect(again({ conducting: leak(0.5), underLimit: 0.5 })).toEqual(["pod conducting"]);
  });

  test("each doubted value of a place, beside the place itself", () => {
    const odd = (volts: number) => ["pod", volts, { misread: 0.9 }] as const;
    expect(again({ readings: shown([odd(2), odd(3)]), underLimit: 0.5 })).toEqual([
      ...["pod one-odd-value 2", "pod one-odd-value 3", "pod near-limit"],
    ]);
  });

  test("the contact that most likely comes and goes", () => {
    const chances = [0.03, 0.06, 0.02, 0.04];
    const contacts = points.map((point, k) => contact(point, { intermittent: chances[k]! }));
    expect(again({ contacts })).toEqual(["harness moves"]);
  });

  test("a value that is as likely explained away as not, unless two that are not follow", () => {
    const at = (misread: number) => ["pod", 2, { misread }] as const;
    const good = ["pod", 4.97] as const;
    expect(again({ readings: shown([good, at(0.5)]) })).toEqual(["pod one-odd-value 2"]);
    expect(again({ readings: shown([good, at(0.49)]) })).toEqual([]);
    // One that is doubted itself settles nothing.
    const doubted = ["pod", 2.5, { misread: 0.5 }] as const;
    expect(again({ readings: shown([at(0.9), doubted, good, ["plate", 4.98]]) })).toEqual([
      ...["pod one-odd-value 2", "pod one-odd-value 2.5"],
    ]);
    expect(again({ readings: shown([at(0.9), doubted, good, good]) })).toEqual([]);
  });

  test("a doubt by what is likeliest behind it", () => {
    const of = (doubts: Partial<SeenReading>) =>
      judge({
        ...sound,
        readings: shown([
          ["pod", 0, doubts],
          ["pod", 4.97],
        ]),
      }).judgement.reason;
    expect(of({ off: 0.3, misread: 0.2, badMoment: 0.5 })).toBe("moves");
    expect(of({ off: 0.3, misread: 0.5, badMoment: 0.2 })).toBe("one-odd-value");
    expect(of({ off: 0.5, misread: 0.2, badMoment: 0.3 })).toBe("display-off");
  });
});

test("one low value that shows its path does not make another's doubt its own", () => {
  const high = ["pod", 5.3, { misread: 0.9 }] as const;
  expect(verdictOf({ readings: shown([high, ["pod", 4.7]]) }).verdict).toBe("sound");
});

test("a last point read is read, whatever else was", () => {
  expect(
    verdictOf({
      readings: shown([
        ["plate", 4.98],
        ["pod", 4.97],
      ]),
    }).verdict,
  ).toBe("sound");
});
