import { expect, test } from "vitest";
import type { CircuitView } from "../../src/diagnosis/evidence.ts";
import { inseparable } from "../../src/diagnosis/inseparable.ts";
import { smallPool } from "../reference/builders.ts";

const [circuit] = smallPool([1], ["a"]).circuits;
/** Points timer, harness, plate, pod: P(sound) of each contact, and whether its point was read. */
const seen = (sound: readonly number[], read: readonly boolean[], i: number) =>
  inseparable(
    {
      circuit: circuit!,
      contacts: sound.map((p) => ({ sound: p })),
      problem: { readings: read.map((one) => (one ? [{}] : [])) },
    } as unknown as CircuitView,
    i,
  );
const none = { inseparableFrom: [], wouldSeparate: null };
const at = (point: string) => ({ lane: 1, device: "a", end: null, point });

test("two suspects with no reading between them: the reading between would tell", () => {
  const read = [true, false, true, true];
  const both = [0.99, 0.5, 0.5, 0.99];
  const between = at("harness");
  expect(seen(both, read, 1)).toEqual({ inseparableFrom: ["plate"], wouldSeparate: between });
  expect(seen(both, read, 2)).toEqual({ inseparableFrom: ["harness"], wouldSeparate: between });
});

test("of several, the reading just in front of the contact", () => {
  const found = seen([0.6, 0.6, 0.6, 0.99], [false, false, true, true], 2);
  expect(found).toEqual({ inseparableFrom: ["timer", "harness"], wouldSeparate: at("harness") });
  const ahead = seen([0.6, 0.6, 0.6, 0.6], [false, false, false, true], 0);
  expect(ahead).toEqual({
    inseparableFrom: ["harness", "plate", "pod"],
    wouldSeparate: at("timer"),
  });
});

test.each([
  ["a reading between them tells", [0.99, 0.5, 0.5, 0.99], [true, true, true, true], 1],
  ["a contact that is certain to be faulty is no question", [0.99, 0.05, 0.5, 0.99], [], 1],
  ["nor is one that is as good as sound", [0.99, 0.96, 0.5, 0.99], [], 1],
  ["nor has one any rival among certain ones", [0.99, 0.5, 0.04, 0.96], [], 1],
] as const)("%s", (_, sound, read, i) => {
  expect(seen(sound, read.length > 0 ? read : [true, false, false, true], i)).toEqual(none);
});

test("a path whose end nobody read ends there", () => {
  const found = seen([0.99, 0.5, 0.6, 0.7], [true, false, false, false], 1);
  expect(found).toEqual({ inseparableFrom: ["plate", "pod"], wouldSeparate: at("harness") });
});
