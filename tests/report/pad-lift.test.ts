import { expect, test } from "vitest";
import { readPool } from "../../src/intake/read-pool.ts";
import { mayBePad, mayLiftPad } from "../../src/report/pad-lift.ts";

/** The default chain: timer outlet (pool), harness and plate (lane), pod (device). */
function poolWith(devices: string) {
  const read = readPool(`pool: Kestrel Bay\nlanes: 8\ndevices: [${devices}]\n`, "pool.yaml");
  if (!read.ok) throw new Error(read.error[0]?.message);
  return read.value;
}

test("only what is named a button or a start unit is no pad", () => {
  for (const name of ["touchpad", "Touchpad", "TOUCH PAD", "start pad", "near wall", "TP1"])
    expect(mayBePad(name), name).toBe(true);
  for (const name of ["button-1", "Backup Button", "start", "Starter"])
    expect(mayBePad(name), name).toBe(false);
});

test("a pad may come up for its own connectors and for the last that a lane shares", () => {
  const pool = poolWith("Touchpad, button-1");
  const at = (point: string, device: string | null) => mayLiftPad(pool, { point, device });
  expect(at("pod", "Touchpad")).toBe(true);
  expect(at("plate", null)).toBe(true);
  expect(at("pod", "button-1")).toBe(false);
  expect(at("harness", null)).toBe(false);
  expect(at("timer", null)).toBe(false);
});

test("where a lane has buttons alone, or the pool's own connector is the last, nobody lifts", () => {
  expect(mayLiftPad(poolWith("button-1, start"), { point: "plate", device: null })).toBe(false);
  const pool = poolWith("touchpad");
  const chain = pool.chain.filter(({ sharedBy }) => sharedBy !== "lane");
  expect(mayLiftPad({ ...pool, chain }, { point: "timer", device: null })).toBe(false);
  expect(mayLiftPad({ ...pool, chain }, { point: "pod", device: "touchpad" })).toBe(true);
});
