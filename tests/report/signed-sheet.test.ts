import { expect, test } from "vitest";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { readTouches } from "../../src/intake/read-touches.ts";
import { signedSheet } from "../../src/report/signed-sheet.ts";
import { diagnose } from "../../src/rooms/diagnosis-room.ts";

/** The words are the project's own rule: nothing is called ready that nobody pressed. */
test("the sheet says who read and pressed what, and what nobody pressed", () => {
  const made = readPool(
    "pool: Kestrel <Bay>\nlanes: 3\ndevices: [touchpad]\nsupply: { source_ohms: 0 }\nmeters: [{ name: deck, load_ohms: 1000, resolution: 0.01 }]\n",
    "pool.yaml",
  );
  if (!made.ok) throw new Error("the pool of this test is none");
  const { readings } = readReadings(
    "lane,point,volts,taken_at,state,by\n1,pod,4.98,2026-05-02T08:00:00,,AB\n2,pod,4.98,2026-05-02T08:01:00,,AB\n2,pod,0.10,2026-05-02T08:02:00,pressed,CD\n",
    made.value,
    "r.csv",
  );
  const sheet = readTouches(
    [
      "lane,device,kind,tried,registered,place,taken_at,by",
      // Presses of an earlier day, and with the open hand, prove nothing here.
      "1,touchpad,fingertip,9,9,,2026-05-01T09:00:00,XY",
      "1,touchpad,open-hand,2,0,,2026-05-02T09:00:00,XY",
      "3,touchpad,fingertip,5,5,left,2026-05-02T09:01:00,EF",
      "3,touchpad,fingertip,5,4,right,2026-05-02T09:02:00,EF",
    ].join("\n"),
    made.value,
    "touches.csv",
  );
  if (!sheet.ok) throw new Error("the presses of this test are none");
  const { touches } = sheet.value;
  expect(touches).toHaveLength(4);
  const html = signedSheet(made.value, diagnose(made.value, readings), readings, touches);
  const rows = [...html.matchAll(/<tr>(.*?)<\/tr>/g)].map(([, row = ""]) =>
    [...row.matchAll(/<t[dh][^>]*>(.*?)<\/t[dh]>/g)].map(([, cell = ""]) => cell),
  );
  // What all rows share stands once, above them.
  expect(html).toContain("Walk 2026-05-02, meter deck, each circuit at its last point.");
  expect(rows[1]).toEqual([
    ...["1", "touchpad", "4.98 V", "08:00", "AB", "not pressed", "reads sound, not pressed"],
  ]);
  expect(rows[2]?.slice(5)).toEqual(["held down: 0.10 V, 08:02, CD", "reads sound"]);
  expect(rows[3]?.slice(2)).toEqual(["", "", "", "9 of 10 registered, 09:02, EF", "not read"]);
  expect(html).toContain("Kestrel &lt;Bay&gt;");
  expect(html).toContain("certifies nothing");
});

test("readings of two days and two meters say so in their rows", () => {
  const made = readPool(
    "pool: P\nlanes: 2\ndevices: [touchpad]\nmeters: [{ name: deck, load_ohms: 1000 }, { name: spare, load_ohms: 1000 }]\n",
    "pool.yaml",
  );
  if (!made.ok) throw new Error("the pool of this test is none");
  const { readings } = readReadings(
    "lane,point,volts,taken_at,walk,meter\n1,pod,4.98,2026-05-02T23:59:00,w,deck\n2,pod,4.98,2026-05-03,w,spare\n",
    made.value,
    "r.csv",
  );
  const html = signedSheet(made.value, diagnose(made.value, readings), readings);
  expect(html).toContain("<td>2026-05-02 23:59</td><td>not written, meter deck</td>");
  expect(html).toContain("<td>2026-05-03</td><td>not written, meter spare</td>");
});
