import { expect, test } from "vitest";
import { plainForm } from "../../../src/intake/pool/plain-form.ts";

// The first version's figures: no source, 1000 ohm of load, one fouled law of 60 ohm and 1.2.
const fouled = { median_ohms: 60, log_sd: 1.2 };
const deck = { name: "deck", resolution: 0.01, load_ohms: 1000 };

test("only a file that says plain is changed", () => {
  for (const file of [null, 3, "x", [], { model: {} }, { pool: "x" }, { model: "Plain" }])
    expect(plainForm(file)).toBe(file);
});

test("what is silent gets the first version's figures", () => {
  expect(plainForm({ model: "plain" })).toEqual({
    model: "plain",
    supply: { source_ohms: 0 },
    meters: [deck],
    contact: { fouled },
  });
});

test("what the file says stands", () => {
  const file = {
    model: "plain",
    supply: { emf: 5, source_ohms: 20 },
    meters: [{ name: "a", load_ohms: 470 }, { name: "b" }],
    contact: { sound: { median_ohms: 0.3 }, fouled: { median_ohms: 80 } },
    chain: [{ point: "pod", fouled: 0.1, intermittent: 0.01 }],
  };
  expect(plainForm(file)).toEqual({
    model: "plain",
    supply: { emf: 5, source_ohms: 20 },
    meters: [
      { name: "a", load_ohms: 470 },
      { name: "b", load_ohms: 1000 },
    ],
    contact: { sound: { median_ohms: 0.3 }, fouled: { median_ohms: 80, log_sd: 1.2 } },
    chain: [
      {
        point: "pod",
        fouled: 0.1,
        contaminated: 0,
        fouled_if_contaminated: 0.7,
        intermittent: 0.01,
        cable_break: 0,
      },
    ],
  });
});

test("several supplies each, and no single one beside them", () => {
  expect(
    plainForm({ model: "plain", supplies: [{ name: "A" }, { name: "B", source_ohms: 5 }] }),
  ).toEqual({
    model: "plain",
    supplies: [
      { name: "A", source_ohms: 0 },
      { name: "B", source_ohms: 5 },
    ],
    meters: [deck],
    contact: { fouled },
  });
});

test("a mixture of laws is left as it is, and so is whatever has a wrong shape", () => {
  const parts = [{ share: 1, median_ohms: 5, log_sd: 1 }];
  expect(plainForm({ model: "plain", contact: { fouled: parts } })).toMatchObject({
    contact: { fouled: parts },
  });
  for (const wrong of [3, null, "x", [1]]) {
    const file = { model: "plain", supply: wrong, meters: wrong, contact: wrong, chain: wrong };
    const made = plainForm(file) as Record<string, unknown>;
    expect([made["supply"], made["contact"], made["chain"]]).toEqual([wrong, wrong, wrong]);
    expect(made["meters"]).toEqual(wrong ?? [deck]);
  }
  expect(plainForm({ model: "plain", meters: ["x"], chain: [3] })).toMatchObject({
    meters: ["x"],
    chain: [3],
  });
  expect(plainForm({ model: "plain", contact: { fouled: 3 } })).toMatchObject({
    contact: { fouled: 3 },
  });
});

// The first version had no classes, and a link without `contaminated` no body.
test("a link that names its class has the class's body", () => {
  const chain = [{ point: "plate", class: "plate" }, { point: "plate" }];
  expect(plainForm({ model: "plain", chain })).toMatchObject({
    chain: [
      { class: "plate", cable_break: 0 },
      { contaminated: 0, cable_break: 0 },
    ],
  });
  const [named] = (plainForm({ model: "plain", chain }) as { chain: object[] }).chain;
  expect(named).not.toHaveProperty("contaminated");
});
