import { expect, test } from "vitest";
import { readPool } from "../../../src/intake/pool/read-pool.ts";

const least = "pool: Kestrel Bay\nlanes: 8\ndevices: [touchpad, button-1]\n";
const places = (text: string): string[] => {
  const pool = readPool(text, "pool.yaml");
  return pool.ok ? [] : pool.error.map(({ place }) => place);
};
const messages = (text: string): string => {
  const pool = readPool(text, "pool.yaml");
  return pool.ok ? "" : pool.error.map(({ message }) => message).join("\n");
};

test("the short form stands for what the file contract says it does", () => {
  // The chain is the contract's sentence on the short form; the priors its table of classes.
  const written = readPool(
    `pool: Kestrel Bay
lanes: 8
devices: [touchpad, button-1]
supply: { emf: 5.0, emf_sd: 0.05, source_ohms: unknown }
meters:
  - { name: deck, load_ohms: unknown, resolution: 0.01, noise: 0.02 }
chain:
  - { point: timer, connector: timer outlet, shared_by: pool, wire_ohms: 0.1, contaminated: 0.02, fouled: 0.01, fouled_if_contaminated: 0.7 }
  - { point: harness, connector: harness connector, shared_by: lane, wire_ohms: 0.6, contaminated: 0.04, fouled: 0.01 }
  - { point: plate, connector: plate connector, shared_by: lane, wire_ohms: 2.0, wet: true, contaminated: 0.08, fouled: 0.02 }
  - { point: pod, connector: pod terminals, shared_by: device, wire_ohms: 0.3, wet: true, fouled: 0.12 }
contact:
  sound: { median_ohms: 0.2, log_sd: 0.8 }
  fouled: [ { share: 0.6, median_ohms: 60, log_sd: 1.2 }, { share: 0.4, median_ohms: 10000, log_sd: 3.0 } ]
model:
  misread: 0.003
  tails: 0.05
  noise_log_sd: 0.3
  drift_sd: 0.02
  blank: 0.0025
  blank_written: 0.1
  blank_stays: 0.5
  open_per_fouled: 0.1
  cable_break: 0.002
  bad_share: 0.3
  stuck: 0.005
  leaking: 0.01
  wet_leak: 0.003
limit: { volts: 4.8, meter: deck }
`,
    "pool.yaml",
  );
  expect(written.ok).toBe(true);
  expect(readPool(least, "pool.yaml")).toEqual(written);
  if (!written.ok) return;
  expect(written.value.lanes).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
  expect(written.value.links.map((link) => link.wireOhms)).toEqual([0.1, 0.6, 2, 0.3]);
  expect(written.value.timerInput).toBeNull();
});

test("the first version's file reads as it stands, and plain fills in its figures", () => {
  const old = `${least}supply: { emf: 5 }\nmisread: 0.02\nlimit_volts: 4.7\ncontact: { fouled: { median_ohms: 50 } }\n`;
  const now = readPool(old, "p");
  if (!now.ok) throw new Error(now.error[0]?.message);
  expect(now.value.model.misread).toBe(0.02);
  expect(now.value.limit).toEqual({ volts: 4.7, meter: "deck" });
  expect(now.value.contact.fouled).toEqual([{ share: 1, medianOhms: 50, logSd: 1.2 }]);
  const plain = readPool(`${least}model: plain\n`, "p");
  if (!plain.ok) throw new Error(plain.error[0]?.message);
  const { model, supplies, meters, contact } = plain.value;
  expect([model.misread, model.blank, model.tails, model.stuck, model.wetLeak]).toEqual([
    0.01, 0.02, 0, 0, 0,
  ]);
  expect([supplies[0]!.sourceOhms, meters[0]!.loadOhms]).toEqual([0, 1000]);
  expect(contact.fouled).toEqual([{ share: 1, medianOhms: 60, logSd: 1.2 }]);
  expect(readPool(`${least}misread: 0.1\nmodel: { misread: 0.1 }`, "p").ok).toBe(false);
});

test("JSON is accepted too", () => {
  const json = JSON.stringify({ pool: "Kestrel Bay", lanes: 8, devices: ["touchpad", "button-1"] });
  expect(readPool(json, "pool.json")).toEqual(readPool(least, "pool.json"));
});

test("one circuit and fifty lanes are pools", () => {
  const one = readPool("pool: x\nlanes: 1\ndevices: [touchpad]", "p");
  const fifty = readPool("pool: x\nlanes: 50\ndevices: [touchpad]", "p");
  expect(one.ok && one.value.lanes).toEqual([1]);
  expect(fifty.ok && fifty.value.lanes.length).toBe(50);
});

test("lanes may be a list of numbers and words", () => {
  const pool = readPool("pool: x\nlanes: [0, 3, dive]\ndevices: [touchpad]", "p");
  expect(pool.ok && pool.value.lanes).toEqual([0, 3, "dive"]);
});

test("an unknown load is null, as is one that nobody gave; a step left out comes from data", () => {
  const pool = readPool(`${least}meters: [{ name: a, load_ohms: unknown }, { name: b }]`, "p");
  expect(pool.ok && pool.value.meters.map((m) => [m.loadOhms, m.resolution])).toEqual([
    [null, null],
    [null, null],
  ]);
});

test("copper given by gauge and length becomes ohms", () => {
  // 100 ft of AWG 22 out and back at 35 °C: 3.4183 ohm; source: arithmetic on the NBS Handbook
  // 100 table (16.14 ohm per 1000 ft) and 0.00393 per kelvin; mark: computed.
  const chain =
    "chain: [{ point: a, connector: b, shared_by: lane, fouled: 0.1, " +
    "wire: { awg: 22, metres: 30.48, celsius: 35 } }]";
  const pool = readPool(least + chain, "p");
  expect(pool.ok && pool.value.links[0]?.wireOhms).toBeCloseTo(3.4183, 2);
});

test("every fault is collected, with its key's path, what was found, what is allowed", () => {
  const text = `${least}suply: { emf: 5 }\nmisread: 2\ncontact: { sound: { median_ohm: 3 } }`;
  expect(places(text)).toEqual(["contact.sound", "misread", ""]);
  expect(messages(text)).toContain("unknown key 'suply'; did you mean 'supply'?");
  expect(messages(text)).toContain("found 2; allowed: a probability from 0 to 0.5");
  expect(messages(text)).toContain("'median_ohm'; did you mean 'median_ohms'?");
});

test.each([
  ["__proto__: { polluted: 1 }", "unknown key '__proto__'"],
  ["constructor: 1", "unknown key 'constructor'"],
  ["misread: '0,02'", "did you mean 0.02?"],
  ["meters: [{ name: a, off_after: [60, 45] }]", "the earlier number of seconds first"],
  ["meters: [{ name: a }, { name: A }]", "occurs twice"],
  ["chain: []", "1 to 40 links"],
  ["supply: { emf: -5 }", "found -5"],
  ["supply: { emf: .nan }", "found NaN"],
  ["supply: { emf: .inf }", "found Infinity"],
  ["timer_input: { low_max: 3 }", "low_max < high_min"],
  ["contact: { fouled: { median_ohms: 0.1 } }", "more ohms than"],
])("%s is refused", (line, message) => {
  expect(messages(least + line)).toContain(message);
  expect(({} as { polluted?: number }).polluted).toBeUndefined();
});

const link = (i: number, sharedBy: string): string =>
  `{ point: p${i}, connector: c${i}, shared_by: ${sharedBy}, fouled: 0.1 }`;

test("a connector of one device can't be contaminated", () => {
  const contaminated = link(0, "device").replace("fouled", "contaminated: 0.1, fouled");
  expect(places(`${least}chain: [${contaminated}]`)).toEqual(["chain[0].contaminated"]);
});

test("a bomb of aliases, a pit of brackets and other wrecks are one clear fault", () => {
  const bomb = Array.from({ length: 12 }, (_, i) =>
    i === 0 ? "a0: &a0 [x, x]" : `a${i}: &a${i} [${Array(9).fill(`*a${i - 1}`)}]`,
  ).join("\n");
  for (const text of [
    bomb,
    "[".repeat(100_000),
    "",
    "  \n",
    "\0\x01\x02",
    "a: *nowhere",
    "a: 1\na: 2",
    "just words",
    "- 1\n- 2",
    "a:\n\t- tab",
    "x".repeat(5_000_001),
  ]) {
    const pool = readPool(text, "pool.yaml");
    expect(pool.ok ? 0 : pool.error.length).toBe(1);
    expect(messages(text).length).toBeLessThan(200);
  }
});
