import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readPads } from "../../src/intake/read-pads.ts";
import { readTouches } from "../../src/intake/read-touches.ts";
import { kestrelBay } from "../meet/pool.ts";

const touches = (text: string) => readTouches(text, kestrelBay, "touches.csv");
const pads = (text: string) => readPads(text, kestrelBay, "pads.csv");

describe("touches.csv", () => {
  test("reads what people write: any case, semicolons, an empty device, a wave of the hand", () => {
    const read = touches(
      "\uFEFFLane;Device;Kind;Tried;Registered;Taken at;By\r\n" +
        "3;touchpad;fingertip;5;4;2026-06-12;KM\r\nL4;;Open hand;5;0;;\r\n",
    );
    expect(read.ok && read.value.rejected).toEqual([]);
    expect(read.ok && read.value.touches).toMatchObject([
      {
        lane: 3,
        device: "touchpad",
        kind: "fingertip",
        tried: 5,
        registered: 4,
        by: "KM",
        line: 2,
      },
      { lane: 4, device: "touchpad", kind: "open-hand", tried: 5, registered: 0, line: 3 },
    ]);
  });

  test.each([
    ["9,touchpad,fingertip,5,5", "lane is '9'"],
    ["3,touchpat,fingertip,5,5", "did you mean 'touchpad'?"],
    ["3,touchpad,finger,5,5", "one of fingertip, open-hand"],
    ["3,touchpad,fingertip,5,6", "no more registered than tried"],
    ["3,touchpad,fingertip,0,0", "at least 1 tried"],
    ["3,touchpad,fingertip,2.5,1", "whole numbers"],
    ["3,touchpad,fingertip,5,", "whole numbers"],
    ["3,touchpad,fingertip,0x14,0x13", "whole numbers"],
    ["3,touchpad,fingertip,1e1,5", "whole numbers"],
  ])("%s is a reject that says why", (row, reason) => {
    const read = touches(`lane,device,kind,tried,registered\n${row}\n`);
    expect(read.ok && read.value.touches).toEqual([]);
    expect(read.ok && read.value.rejected[0]).toMatchObject({ line: 2, text: row });
    expect(read.ok && read.value.rejected[0]?.reason).toContain(reason);
  });

  test("a missing column is one sentence with what was found", () => {
    const read = touches("lane,device,kind,tries,registered\n");
    expect(!read.ok && read.error.message).toContain("no column tried");
    expect(!read.ok && read.error.message).toContain("did you mean 'tries'?");
  });

  test("any text at all: rows out plus rejects are rows in, and nothing throws", () => {
    const cell = fc.string({ maxLength: 8 }).map((s) => s.replaceAll(/["\r\n,;\t\0]/g, "x"));
    fc.assert(
      fc.property(fc.array(fc.tuple(cell, cell, cell, cell, cell), { maxLength: 8 }), (rows) => {
        const full = rows.filter((row) => row.some((c) => c.trim() !== ""));
        const text = ["lane,device,kind,tried,registered", ...full.map((r) => r.join(","))];
        const read = touches(text.join("\n"));
        if (!read.ok) throw new Error(read.error.message);
        expect(read.value.touches.length + read.value.rejected.length).toBe(full.length);
      }),
      { numRuns: 100 },
    );
    fc.assert(fc.property(fc.string(), (text) => void touches(text)));
  });
});

describe("pads.csv", () => {
  test("the unit stands in the heading", () => {
    const read = pads(
      "taken_at,water_f,strokes,lane,soaked_minutes\n2026-05-02,78.5,6,1,12\n2026-06-13,82,,,\n",
    );
    expect(read.ok && read.value.notes).toMatchObject([
      { water: 78.5, unit: "F", strokes: 6, lane: 1, soakedMinutes: 12 },
      { water: 82, unit: "F", strokes: null, lane: null },
    ]);
  });

  test("a log that does not say which degrees is refused", () => {
    const read = pads("taken_at,water\n2026-05-02,27\n");
    expect(!read.ok && read.error.message).toContain("Celsius or Fahrenheit");
  });

  test.each([
    ["2026-05-02,80,,", "degrees C from -2 to 60"], // Fahrenheit in the Celsius column
    ["2026-05-02,27,90,", "not the same temperature"],
    ["32.05.2026,27,,", "not an ISO 8601"],
    ["2026-05-02,26,5,8,3", "found 5 values for 4 columns"],
    ["2026-05-02,27,,six", "strokes is 'six'"],
  ])("%s is a reject that says why", (row, reason) => {
    const read = pads(`taken_at,water_c,water_f,strokes\n${row}\n`);
    expect(read.ok && read.value.rejected[0]?.reason).toContain(reason);
  });
});
