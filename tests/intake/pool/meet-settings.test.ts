import { expect, test } from "vitest";
import { meetDefaults } from "../../../src/domain/meet.ts";
import { readPool } from "../../../src/intake/pool/read-pool.ts";

const pool = (more: string) =>
  readPool(`pool: Kestrel Bay\nlanes: 8\ndevices: [touchpad]\n${more}`, "pool.yaml");

test("an empty meet section is the defaults, and none at all leaves it out", () => {
  const empty = pool("meet: {}\n");
  expect(empty.ok && empty.value.meet).toEqual(meetDefaults);
  const none = pool("");
  expect(none.ok && none.value.meet).toBeUndefined();
});

test("a unit other than C or F is one sentence with its place", () => {
  const kelvin = pool("meet: { temperature_unit: K }\n");
  expect(kelvin.ok).toBe(false);
  expect(!kelvin.ok && kelvin.error[0]?.place).toBe("meet.temperature_unit");
  expect(!kelvin.ok && kelvin.error[0]?.message).toContain("C or F");
});

test("Fahrenheit and a mountain", () => {
  const read = pool("meet: { temperature_unit: F, altitude_metres: 1609, readjust_degrees: 4 }\n");
  expect(read.ok && read.value.meet?.pads).toEqual({
    unit: "F",
    readjustDegrees: 4,
    soakMinutes: null,
    altitudeMetres: 1609,
    pump: null,
  });
});
