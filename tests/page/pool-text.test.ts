import { expect, test } from "vitest";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { poolText } from "../../src/page/pool-text.ts";

const form = {
  name: "Kestrel Bay",
  lanes: "0-9",
  devices: "touchpad, button-1",
  meter: "deck",
  load: "unknown",
  offFrom: "",
  offTo: "",
  limit: "4,8",
};

test("a filled-in form is a pool file of the present form, unknowns left unknown", () => {
  const text = poolText(form);
  expect(text).not.toContain("limit_volts");
  expect(text).not.toContain("off_after");
  const read = readPool(text, "pool.yaml");
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  expect(read.value.lanes).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9]);
  expect(read.value.circuits).toHaveLength(20);
  expect(read.value.meters[0]).toMatchObject({ name: "deck", loadOhms: null });
  expect(read.value.limit).toEqual({ volts: 4.8, meter: "deck" });
});

test("lanes may be a count or names, and what was typed wrong is told by its key", () => {
  expect(poolText({ ...form, lanes: "3" })).toContain("lanes: 3");
  const named = readPool(poolText({ ...form, lanes: "1, dive" }), "pool.yaml");
  expect(named.ok && named.value.lanes).toEqual([1, "dive"]);
  const wrong = readPool(poolText({ ...form, limit: "4.8 V", offFrom: "90" }), "pool.yaml");
  expect(wrong.ok ? [] : wrong.error.map(({ place }) => place)).toEqual(
    expect.arrayContaining(["limit.volts", "meters[0].off_after"]),
  );
});
