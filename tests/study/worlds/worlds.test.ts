import { expect, test } from "vitest";
import { readPool, readReadings } from "../../../src/rooms/intake-room.ts";
import { seededRandom } from "../random.ts";
import { type Contact, type Deck, drawDeck } from "./deck.ts";
import { connectorName, grouped, plain } from "./layout.ts";
import { asModelled, firstModel } from "./nature.ts";
import { probe, type Taken, takeReadings } from "./readings.ts";
import { slip } from "./sheet-mishaps.ts";
import { type DrawnWalk, drawWalk, type World } from "./world.ts";
import { worldsOf } from "./worlds.ts";

const worlds = worldsOf(asModelled, null);
const world = (name: string): World => worlds.find((one) => one.name === name)!;
const walksOf = (name: string, n: number): DrawnWalk[] => {
  const { uniform } = seededRandom(3);
  return Array.from({ length: n }, () => drawWalk(world(name), uniform));
};
const decksOf = (name: string, n: number): Deck[] => {
  const { uniform } = seededRandom(3);
  const { layout, nature } = world(name);
  return Array.from({ length: n }, () => drawDeck(layout, nature, uniform));
};
const contactsOf = (decks: readonly Deck[], point: string): Contact[] =>
  decks
    .flatMap(({ paths }) => paths.flatMap(({ contacts }) => contacts))
    .filter(({ link }) => link.point === point);
const share = (contacts: readonly Contact[], state: Contact["state"]): number =>
  contacts.filter((contact) => contact.state === state).length / contacts.length;
const mean = (xs: readonly number[]): number => xs.reduce((sum, x) => sum + x, 0) / xs.length;
const sd = (xs: readonly number[]): number => Math.sqrt(mean(xs.map((x) => (x - mean(xs)) ** 2)));

test("there are at least sixteen worlds beside the model's own, of different names", () => {
  expect(worlds.length).toBeGreaterThan(16);
  expect(new Set(worlds.map(({ name }) => name)).size).toBe(worlds.length);
});

test("the same seed draws the same files", () => {
  const draw = (seed: number) => drawWalk(world("water"), seededRandom(seed).uniform);
  expect(draw(5).readings).toBe(draw(5).readings);
  expect(draw(5).readings).not.toBe(draw(6).readings);
});

// Rule of total probability on the published table: the plate 0.92 * 0.02 + 0.08 * 0.7 = 0.0744, the
// harness 0.96 * 0.01 + 0.04 * 0.7 = 0.0376. Bands: five standard errors, shared bodies reckoned with.
test("contacts fail as often as the model says", () => {
  const decks = decksOf("as-modelled", 400);
  expect(Math.abs(share(contactsOf(decks, "plate"), "fouled") - 0.0744)).toBeLessThan(0.02);
  expect(Math.abs(share(contactsOf(decks, "harness"), "fouled") - 0.0376)).toBeLessThan(0.015);
  expect(Math.abs(share(contactsOf(decks, "pod"), "fouled") - 0.12)).toBeLessThan(0.017);
  expect(Math.abs(share(contactsOf(decks, "pod"), "open") - 0.012)).toBeLessThan(0.006);
  expect(Math.abs(share(contactsOf(decks, "pod"), "cable") - 0.002)).toBeLessThan(0.0023);
  expect(Math.abs(share(contactsOf(decks, "pod"), "intermittent") - 0.02)).toBeLessThan(0.008);
  const across = decks.flatMap(({ paths }) => paths.filter((path) => path.across.length > 0));
  // 0.005 + 0.01 + 2 * 0.003, over 9,600 circuits.
  expect(Math.abs(across.length / (400 * 24) - 0.021)).toBeLessThan(0.0075);
});

test("a circuit has at most one contact that comes and goes, none where it conducts", () => {
  for (const { paths } of decksOf("comes-and-goes", 100)) {
    for (const { contacts, across } of paths) {
      const many = contacts.filter(({ state }) => state === "intermittent").length;
      expect(many).toBeLessThanOrEqual(across.length > 0 ? 0 : 1);
      expect(across.length).toBeLessThanOrEqual(1);
    }
  }
});

test("faults are three times as common, or a third as common, where the world says so", () => {
  const often = contactsOf(decksOf("faults-treble", 200), "pod");
  expect(Math.abs(share(often, "fouled") - 0.36)).toBeLessThan(0.035);
  const seldom = contactsOf(decksOf("faults-third", 300), "pod");
  expect(Math.abs(share(seldom, "fouled") - 0.04)).toBeLessThan(0.014);
});

test("the far end's plates and pods are the ones that fail", () => {
  const pods = contactsOf(decksOf("wet-end", 200), "pod");
  const end = pods.filter(({ circuit }) => circuit.lane! > 5);
  const rest = pods.filter(({ circuit }) => circuit.lane! <= 5);
  expect(Math.abs(share(end, "fouled") - 0.6)).toBeLessThan(0.1);
  expect(Math.abs(share(rest, "fouled") - 0.12)).toBeLessThan(0.035);
});

test("light film lies between 3 and 30 ohm, half of it under 6", () => {
  const film = contactsOf(decksOf("light-film", 300), "pod")
    .filter(({ state }) => state === "fouled")
    .map(({ ohms }) => ohms);
  expect(Math.min(...film)).toBeGreaterThanOrEqual(3);
  expect(Math.max(...film)).toBeLessThanOrEqual(30);
  expect(Math.abs(film.filter((ohms) => ohms <= 6).length / film.length - 0.5)).toBeLessThan(0.09);
});

const errors = (name: string): number[] =>
  walksOf(name, 60).flatMap(({ taken }) =>
    taken.filter((t) => t.shown !== null && t.shown > 0.2).map((t) => t.shown! - t.true),
  );
/** Readings within 0.3 V: misreads are left out. */
const spread = (name: string): number => sd(errors(name).filter((e) => Math.abs(e) < 0.3));

// Rounding to 0.01 V adds 0.01^2 / 12 to the variance (uniform law): 0.0401 and 0.0104.
test("noise is twice, or half, the stated", () => {
  expect(Math.abs(spread("noise-double") - 0.0401)).toBeLessThan(0.002);
  expect(Math.abs(spread("noise-half") - 0.0104)).toBeLessThan(0.0015);
});

test("the supply falls by 0.1 V from the first reading to the last, and sags for a fifth", () => {
  const course = (name: string) => world(name).nature.course(seededRandom(4).uniform);
  expect(course("supply-drift")(0) - course("supply-drift")(1)).toBeCloseTo(0.1, 12);
  const low = Array.from({ length: 1000 }, (_, i) => course("supply-sag")(i / 999)).filter(
    (gained) => gained === -0.15,
  );
  expect(Math.abs(low.length - 200)).toBeLessThanOrEqual(1);
  const { nature } = world("supply-drift");
  const sound = { ...nature, rates: () => none, cableBreak: 0, source: () => 0 };
  const { uniform } = seededRandom(1);
  const deck = drawDeck(plain, { ...sound, conducting: firstModel.conducting }, uniform);
  const taken = takeReadings(deck, sound, uniform);
  // 5.05 V and 4.95 V behind 0.1 ohm of copper and a sound contact: no more than 0.05 V lower.
  const [first, last] = [taken[0]!.true, taken.at(-4)!.true];
  expect(first - last).toBeGreaterThan(0.09);
  expect(first - last).toBeLessThan(0.11);
});

const none = { contaminated: 0, fouled: 0, fouledIfContaminated: 0, intermittent: 0 };

test("blanks are written where the display is off, and marked only where the world says so", () => {
  const [marked] = walksOf("blanks-marked", 1);
  expect(marked!.readings.split("\n")[0]).toBe("walk,lane,device,point,volts,taken_at,meter_on");
  expect(marked!.readings.split("\n")[1]).toMatch(/,yes$/);
  expect(walksOf("blanks-unmarked", 1)[0]!.readings).not.toContain("yes");
  expect(walksOf("blanks-untimed", 1)[0]!.readings.split("\n")[0]).toBe(
    "walk,lane,device,point,volts",
  );
  const zeros = (name: string): number =>
    walksOf(name, 30)
      .flatMap(({ taken }) => taken)
      .filter((t) => t.shown === 0 && t.true > 1).length / 30;
  // Some 105 s at 8.8 s a reading: off about every 12th reading of 96, half written, two in a run.
  expect(zeros("blanks-marked")).toBeGreaterThan(5);
  expect(zeros("blanks-marked")).toBeLessThan(10);
  expect(zeros("blanks-unwritten")).toBeLessThan(0.5);
  const missing = walksOf("blanks-unwritten", 30).flatMap(({ taken }) => taken);
  expect(missing.filter(({ shown }) => shown === null).length / 30).toBeGreaterThan(4);
});

test("a contact that comes and goes has a bad moment in 30 % of readings, moved in 70 %", () => {
  const { uniform } = seededRandom(12);
  const nature = {
    ...firstModel,
    rates: ({ kind }: { kind: string }) => ({ ...none, intermittent: kind === "pod" ? 1 : 0 }),
    fouled: () => 500,
    movedToo: true,
  };
  const taken = Array.from({ length: 100 }, () =>
    takeReadings(drawDeck(plain, nature, uniform), nature, uniform),
  ).flat();
  const bad = (state: string): number => {
    const pods = taken.filter((t) => t.point === "pod" && t.state === state);
    return pods.filter((t) => t.true < 4).length / pods.length;
  };
  expect(Math.abs(bad("rest") - 0.3)).toBeLessThan(0.047);
  expect(Math.abs(bad("moved") - 0.7)).toBeLessThan(0.047);
});

test("crossed circuits change places in front of one link", () => {
  const { uniform } = seededRandom(2);
  const deck = drawDeck(plain, world("crossed").nature, uniform);
  const { circuits, at } = deck.crossing!;
  const [a, b] = circuits.map((c) => deck.paths.find(({ circuit }) => circuit === c)!) as [
    Deck["paths"][number],
    Deck["paths"][number],
  ];
  const before = probe(deck, a, at - 1).path.contacts;
  const behind = probe(deck, a, at).path.contacts;
  expect(before).toEqual([...a.contacts.slice(0, at), ...b.contacts.slice(at)]);
  expect(behind).toEqual([...b.contacts.slice(0, at), ...a.contacts.slice(at)]);
});

const shownAt = (taken: readonly Taken[], lane: number, device: string): (number | null)[] =>
  taken.filter((t) => t.circuit.lane === lane && t.circuit.device === device).map((t) => t.shown);

test("swapped rows hold each other's values, swapped points change places in one circuit", () => {
  for (const name of ["rows-swapped", "points-swapped"]) {
    const { nature } = world(name);
    const { uniform } = seededRandom(7);
    const deck = drawDeck(plain, nature, uniform);
    const taken = takeReadings(deck, nature, uniform);
    const { taken: sheet, mixedUp } = slip(deck, nature, taken, uniform);
    const values = (all: readonly Taken[]) =>
      mixedUp.map(({ lane, device }) => shownAt(all, lane!, device));
    if (name === "rows-swapped") expect(values(sheet)).toEqual(values(taken).reverse());
    else {
      const moved = values(sheet)[0]!.filter((v, i) => v !== values(taken)[0]![i]);
      expect([0, 2]).toContain(moved.length);
      expect(values(sheet)[0]!.toSorted()).toEqual(values(taken)[0]!.toSorted());
    }
  }
});

test("a return that is fouled takes the same from every circuit of its connector", () => {
  for (const deck of decksOf("shared-return", 20)) {
    const contacts = deck.paths.flatMap((path) => path.contacts);
    const names = new Set(contacts.map(({ connector }) => connector));
    const whole = [...names].filter((name) => {
      const its = contacts.filter(({ connector }) => connector === name);
      return its.length > 1 && its.every(({ state }) => state === "fouled");
    });
    expect(whole.length).toBeGreaterThan(0);
  }
});

test("a transposed value has its own digits", () => {
  const changed = walksOf("transposed", 200)
    .flatMap(({ taken }) => taken)
    .filter((t) => t.shown !== null && Math.abs(t.shown - t.true) > 0.6 && t.shown > 0);
  expect(changed.length).toBeGreaterThan(40);
  const nine = changed.filter((t) => Math.abs(t.true - 4.94) < 0.02);
  for (const { shown } of nine) expect(shown!.toFixed(2)).toMatch(/^9\.4|^4\.[2-7]9|^9\.5|^4\.09/);
});

test("the grouped deck has 20 circuits of lanes on two harnesses, and a start line with its own plug", () => {
  expect(grouped.circuits.length).toBe(21);
  const deck = decksOf("grouped", 1)[0]!;
  const names = new Set(deck.paths.flatMap(({ contacts }) => contacts.map((c) => c.connector)));
  expect(names).toContain(connectorName("harness", [1, 2, 3, 4], null));
  expect(names).toContain(connectorName("start plug", [], "start"));
  expect(deck.paths.at(-1)!.contacts.map(({ link }) => link.point)).toEqual([
    "timer",
    "start plug",
  ]);
});

test("an open cable is no fault of a connector, and a fault that takes no volts tells nothing", () => {
  const walks = walksOf("as-modelled", 60);
  for (const { truth } of walks) {
    const broken = truth.contacts.filter(({ state }) => state === "cable");
    for (const { connector } of broken) {
      const others = truth.contacts.filter((c) => c.connector === connector && c.state !== "sound");
      if (others.every(({ state }) => state === "cable"))
        expect(truth.atFault).not.toContain(connector);
    }
    if (truth.tells) expect(Math.max(...truth.lost.values())).toBeGreaterThanOrEqual(0.1);
  }
  expect(walks.some(({ truth }) => truth.contacts.some(({ state }) => state === "cable"))).toBe(
    true,
  );
});

// 5 / 4.8 - 1 loads of 1,000 ohm: 41.67 ohm.
test("a path is under its limit where it has more than 41.67 ohm", () => {
  const circuits = walksOf("as-modelled", 40).flatMap(({ truth }) => truth.circuits);
  for (const { ohms, under } of circuits) expect(under).toBe(ohms > 41.6667);
  expect(circuits.some(({ under }) => under)).toBe(true);
});

test("every file that the first form can say goes through the program's own intake, row by row", () => {
  const { uniform } = seededRandom(6);
  const first = worldsOf(firstModel, 0).filter(({ layout, told }) => layout === plain && told.load);
  for (const one of first.filter(({ name }) => name !== "moved")) {
    const { pool, readings, taken } = drawWalk(one, uniform);
    const read = readPool(pool.replace(/limit: \{.*\}/, "limit_volts: 4.8"), "pool.yaml");
    expect(read.ok && one.name).toBe(one.name);
    if (!read.ok) continue;
    const sheet = readReadings(readings, read.value, "readings.csv");
    expect(sheet.rejected).toEqual([]);
    const shown = taken.flatMap((t) => (t.shown === null ? [] : [t.shown]));
    expect(sheet.readings.map(({ volts }) => Number(volts))).toEqual(shown);
  }
});
