import { expect, test } from "vitest";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { mayBePad, mayLiftPad } from "../../src/report/pad-lift.ts";
import { placeOf } from "../plain-pool.ts";

/** The default chain: timer outlet (pool), harness and plate (lane), pod (device). */
function poolWith(devices: string, chain = "") {
  const text = `pool: Kestrel Bay\nmodel: plain\nlanes: 8\ndevices: [${devices}]\n${chain}`;
  const read = readPool(text, "pool.yaml");
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
  const at = (point: string, device: string | null) =>
    mayLiftPad(pool, placeOf(point, point === "timer" ? null : 3, device));
  expect(at("pod", "Touchpad")).toBe(true);
  expect(at("plate", null)).toBe(true);
  expect(at("pod", "button-1")).toBe(false);
  expect(at("harness", null)).toBe(false);
  expect(at("timer", null)).toBe(false);
});

test("where a lane has buttons alone, or the pool's own connector is the last, nobody lifts", () => {
  expect(mayLiftPad(poolWith("button-1, start"), placeOf("plate", 3))).toBe(false);
  const pool = poolWith(
    "touchpad",
    "chain:\n  - { point: timer, connector: o, shared_by: pool }\n" +
      "  - { point: pod, connector: p, shared_by: device }\n",
  );
  expect(mayLiftPad(pool, placeOf("timer"))).toBe(false);
  expect(mayLiftPad(pool, placeOf("pod", 3, "touchpad"))).toBe(true);
});
