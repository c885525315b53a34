import fc from "fast-check";
import { expect, test } from "vitest";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { rejectedCsv } from "../../src/intake/rejected-csv.ts";

const result = readPool("pool: Kestrel Bay\nlanes: 8\ndevices: [touchpad, button-1]", "p");
if (!result.ok) throw new Error("the pool file is wrong");
const pool = result.value;
const read = (text: string, file = "may.csv") => readReadings(text, pool, file);
const key = (r: { lane: unknown; device: string; point: string; volts: number; walk: string }) =>
  [r.lane, r.device, r.point, r.volts, r.walk].join(" ");

test("the same columns plus reason, the row as it stood", () => {
  const { rejected } = read("Lane;Point;Volts;note\n1;pod;4,9l;wet\n");
  expect(rejectedCsv(rejected)).toBe(
    "Lane,Point,Volts,note,walk,reason\r\n" +
      '1,pod,"4,9l",wet,may,"line 2: volts is \'4,9l\': not a number; did you mean 4.91?"\r\n',
  );
});

test("mended and imported again nothing is lost and nothing comes twice, the walk included", () => {
  const good = read("lane,timer,pod\n1,4.98,4.9l\n9,4.97,4.95\n2,,4.9\n");
  expect(good.readings.map(key)).toEqual(["1 touchpad timer 4.98 may", "2 touchpad pod 4.9 may"]);
  const mended = rejectedCsv(good.rejected).replaceAll("4.9l", "4.91").replaceAll(/^9,/gm, "3,");
  const again = read(mended, "rejected.csv");
  expect(again.rejected).toEqual([]);
  expect(again.readings.map(key)).toEqual([
    "1 touchpad pod 4.91 may",
    "3 touchpad timer 4.97 may",
    "3 touchpad pod 4.95 may",
  ]);
});

test("unmended and imported again the same rows are rejected, whatever the reason was", () => {
  const text =
    "lane,point,volts,taken_at,state\n" +
    "1,pod,x,2026-05-02,\n9,pod,4.9,2026-05-02T10:00,\n1,pod,4,91\n1,pod,4.9,then,\n1,,4.9,,open\n";
  const { rejected, readings } = read(text);
  expect([rejected.length, readings.length]).toEqual([5, 0]);
  const again = read(rejectedCsv(rejected), "rejected.csv");
  expect([again.rejected.length, again.readings.length]).toEqual([5, 0]);
  const reason = (text: string): string => text.replace(/found \S+ values for \d+ columns/, "many");
  expect(again.rejected.map((r) => reason(r.reason)).slice(0, 2)).toEqual(
    rejected.map((r) => reason(r.reason)).slice(0, 2),
  );
});

test("sheets in volts and in millivolts go into one file without changing a value", () => {
  const one = read("lane,point,volts\nx,pod,4.91\n").rejected;
  const other = read("lane no,point,reading (mV)\nx,pod,4920\n", "june.csv").rejected;
  const mended = rejectedCsv([...one, ...other]).replaceAll(/^x,/gm, "1,");
  expect(read(mended).readings.map(key)).toEqual([
    "1 touchpad pod 4.91 may",
    "1 touchpad pod 4.92 june",
  ]);
});

test("a cell that a spreadsheet would run is guarded, and comes back letter for letter", () => {
  const notes = ["=1+1", "+1", "-cmd", "@x", "'=1", "''+a", "plain", "'plain", "-0.5"];
  const text = `lane,point,volts,note\n${notes.map((note) => `9,pod,4.9,${note}`).join("\n")}`;
  const csv = rejectedCsv(read(text).rejected);
  expect(csv).not.toMatch(/,"?[=@]/);
  const back = read(csv.replaceAll(/^9,/gm, "1,")).readings.map(({ note }) => note);
  expect(back).toEqual(read(text.replaceAll("9,pod", "1,pod")).readings.map(({ note }) => note));
});

test("any note survives the way out and back", () => {
  fc.assert(
    fc.property(fc.string({ unit: "binary", maxLength: 20 }), (text) => {
      const note = text.trim().replaceAll(/[\r\n]/g, "");
      const quote = `"${note.replaceAll('"', '""')}"`;
      const was = read(`lane,point,volts,note\n1,pod,4.9,${quote}`).readings[0]?.note;
      const { rejected } = read(`lane,point,volts,note\n9,pod,4.9,${quote}`);
      const back = read(rejectedCsv(rejected).replace(/^9,/m, "1,")).readings[0]?.note;
      expect(back).toBe(was);
    }),
    { numRuns: 300 },
  );
});
