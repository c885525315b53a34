import { chmodSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { keeperFor, keptAnswers } from "../../../src/cli/store/kept-answers.ts";
import { noKeeper, type Question } from "../../../src/rooms/season-room.ts";
import { onFaultyDisk } from "./faulty-disk.ts";

const place = (): string => join(mkdtempSync(join(tmpdir(), "kept-")), "answers");
const ask = (...from: readonly unknown[]): Question => ({ what: "walk", walk: "a", from });
const answer = { ohms: [1, Number.POSITIVE_INFINITY], at: new Float64Array([0.5]), none: null };

test("an answer is known to what was asked, by a later run of the same build", () => {
  const folder = place();
  const question = ask({ limit: 4.8 }, [1, 2]);
  expect(keptAnswers(folder, "one").known(question)).toBeUndefined();
  keptAnswers(folder, "one").keep(question, answer);
  expect(keptAnswers(folder, "one").known(question)).toEqual(answer);
  expect(keptAnswers(folder, "two").known(question)).toBeUndefined();
});

test.each([
  [ask(1), ask(2)],
  [ask(1), ask("1")],
  [ask([1, 2]), ask(1, 2)],
  [ask(Number.POSITIVE_INFINITY), ask(null)],
  [ask(Number.NaN), ask(Number.POSITIVE_INFINITY)],
  [ask(new Map([["a", 1]])), ask(new Map([["a", 2]]))],
  [ask(1), { what: "trend", walk: null, from: [1] } as const],
])("%j and %j are two questions", (one, other) => {
  const folder = place();
  keptAnswers(folder, "build").keep(one, answer);
  expect(keptAnswers(folder, "build").known(other)).toBeUndefined();
});

test("an answer that is not whole is not known, and is found anew", () => {
  const folder = place();
  const keeper = keptAnswers(folder, "build");
  keeper.keep(ask(1), answer);
  const file = join(folder, readdirSync(folder)[0]!);
  const whole = readFileSync(file);
  const spoilt = [
    whole.subarray(0, 0),
    whole.subarray(0, 20),
    whole.subarray(0, -1),
    Buffer.concat([whole, Buffer.of(0)]),
    whole.map((byte, k) => (k === whole.length - 3 ? byte ^ 1 : byte)),
  ];
  for (const bytes of spoilt) {
    writeFileSync(file, bytes);
    expect(keeper.known(ask(1))).toBeUndefined();
  }
  keeper.keep(ask(1), answer);
  expect(keeper.known(ask(1))).toEqual(answer);
});

test.each(["fails", "kill"] as const)("a disk that %s at any call is no fault", async (fault) => {
  for (let at = 1, made = at; made >= at; at++) {
    const folder = place();
    const { calls, error } = await onFaultyDisk(at, fault, async () =>
      keptAnswers(folder, "build").keep(ask(1), answer),
    );
    expect(error).toBeNull();
    made = calls.length;
    const known = keptAnswers(folder, "build").known(ask(1));
    if (known !== undefined) expect(known).toEqual(answer);
    keptAnswers(folder, "build").keep(ask(1), answer);
    expect(keptAnswers(folder, "build").known(ask(1))).toEqual(answer);
  }
});

test("a folder that takes nothing is no fault", () => {
  const folder = place();
  keptAnswers(folder, "build").keep(ask(1), answer);
  chmodSync(folder, 0o500);
  const inFile = join(folder, readdirSync(folder)[0]!, "below");
  for (const closed of [folder, inFile, "/proc/none"]) {
    keptAnswers(closed, "build").keep(ask(2), answer);
    keptAnswers(closed, "build").known(ask(2));
  }
  chmodSync(folder, 0o700);
  expect(keptAnswers(folder, "build").known(ask(1))).toEqual(answer);
});

test("the oldest answers make room", () => {
  const folder = place();
  const keeper = keptAnswers(folder, "build");
  const large = new Uint8Array(9 * 2 ** 20);
  for (let k = 0; k < 9; k++) keeper.keep(ask(k), large);
  expect(keeper.known<Uint8Array>(ask(8))?.length).toBe(large.length);
  expect(keeper.known(ask(0))).toBeUndefined();
  const bytes = readdirSync(folder).reduce(
    (sum, name) => sum + readFileSync(join(folder, name)).length,
    0,
  );
  expect(bytes).toBeLessThanOrEqual(64 * 2 ** 20);
  expect(bytes).toBeGreaterThan(50 * 2 ** 20);
});

test("a command that is run from its sources holds nothing", () => {
  expect(keeperFor(process.env)).toBe(noKeeper);
});
