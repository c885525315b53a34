import { describe, expect, test } from "vitest";
import { madePool } from "../../src/intake/pool/made-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";

const pool = madePool({
  ...{ pool: "Kestrel Bay", lanes: 3, devices: ["touchpad", "button-1"], ends: ["start", "turn"] },
  meters: [{ name: "deck", resolution: 0.01 }, { name: "bench" }],
});
const read = (text: string) => readReadings(text, pool, "r.csv");
/** The only row that could not be used. */
function rejected(text: string) {
  const { rejected: all } = read(text);
  expect(all).toHaveLength(1);
  return all[0]!;
}

describe("a row that can't be used, in a sheet of one reading a row", () => {
  test("comes out under the sheet's own headings, with its line, reason and text", () => {
    const one = rejected("Lane,Point,Volts,Remark\n1,pod,4.9,x\n2,pod,4x9,y\n");
    expect(one).toMatchObject({
      file: "r.csv",
      line: 3,
      kind: "not-a-number",
      text: "2,pod,4x9,y",
      fields: { Lane: "2", Point: "pod", Volts: "4x9", Remark: "y" },
    });
    expect(one.reason).toContain("volts is '4x9'");
  });

  test("takes its merged cells along, and its day", () => {
    const one = rejected(
      "lane,device,end,point,volts,date\n2,button-1,start,plate,4.9,2026-05-02\n,,,pod,x,\n",
    );
    expect(one.fields).toEqual({
      ...{
        lane: "2",
        device: "button-1",
        end: "start",
        point: "pod",
        volts: "x",
        date: "2026-05-02",
      },
    });
  });

  test("its own day and lane are left as they are", () => {
    const one = rejected("lane,point,volts,date\n2,plate,4.9,2026-05-02\n3,pod,x,2026-05-03\n");
    expect(one.fields).toEqual({ lane: "3", point: "pod", volts: "x", date: "2026-05-03" });
  });

  test("everything that is wrong is said, the first gives the kind", () => {
    const one = rejected("lane,point,volts\n9,pid,x\n");
    expect(one.kind).toBe("lane");
    expect(one.reason).toMatch(/^lane is '9'.*; point is 'pid'.*; volts is 'x'/);
  });

  test("headings once more are said to be that, and nothing else", () => {
    const one = rejected("lane,point,volts\n1,pod,4.9\nlane,point,volts\n");
    expect(one.kind).toBe("header");
    expect(one.reason).not.toContain("volts is");
  });

  test("what stands behind the last column is kept apart", () => {
    const one = rejected("lane,point,volts\n1,pod,4.9,more,still\n");
    expect(one.fields).toEqual({ lane: "1", point: "pod", volts: "4.9", extra: "more,still" });
  });

  test("the program's own columns of an earlier list are not written again", () => {
    const one = rejected("lane,point,volts,reason\n1,pod,x,volts is 'y'\n");
    expect(one.fields).toEqual({ lane: "1", point: "pod", volts: "x" });
  });

  test("a circuit that does not pass the point", () => {
    const own = madePool({
      pool: "x",
      lanes: 1,
      devices: ["touchpad", { name: "start", lanes: "none" }],
      chain: [
        { point: "plate", connector: "plate", shared_by: "lane", except: { devices: ["start"] } },
        { point: "plug", connector: "x", shared_by: "device" },
      ].map((link, k) => (k === 1 ? { ...link, point: "pod" } : link)),
    });
    const { rejected: all } = readReadings(
      "lane,device,point,volts\nnone,start,plate,4.9\n",
      own,
      "r.csv",
    );
    expect(all[0]).toMatchObject({ kind: "point" });
    expect(all[0]!.reason).toBe("the start does not pass the plate: its points are pod");
  });
});

describe("a row of one column a point", () => {
  test("gives each value by itself, and each wrong one as a row of the other kind of sheet", () => {
    const { readings, rejected: all } = read("lane,device,plate,pod,note\n1,touchpad,4.9,x,wet\n");
    expect(readings.map(({ point, volts }) => [point, volts])).toEqual([["plate", 4.9]]);
    expect(all).toHaveLength(1);
    expect(all[0]).toMatchObject({ line: 2, kind: "not-a-number" });
    expect(all[0]!.fields).toEqual({
      lane: "1",
      device: "touchpad",
      note: "wet",
      point: "pod",
      volts: "x",
    });
  });

  test("millivolts are written with their unit", () => {
    const { readings, rejected: all } = read("lane,plate mV,pod mV\n1,4900,49x\n2,4900,99999\n");
    expect(readings.map(({ volts }) => volts)).toEqual([4.9, 4.9]);
    expect(all.map(({ fields }) => fields["volts"])).toEqual(["49x", "99999 mV"]);
  });

  test("a wrong lane spoils each of its values; a row without values is one reject", () => {
    const { rejected: all } = read("lane,plate,pod\n9,4.9,4.8\n");
    expect(all.map(({ fields }) => [fields["point"], fields["volts"]])).toEqual([
      ["plate", "4.9"],
      ["pod", "4.8"],
    ]);
    const [only, ...more] = read("lane,plate,pod\n9,,\n").rejected;
    expect(more).toEqual([]);
    expect(only!.fields).toMatchObject({ lane: "9", point: "", volts: "" });
    expect(read("lane,plate,pod\n1,,\n").rejected).toEqual([]);
  });

  test("whoever switched the meter on did so before the row's first value", () => {
    const { readings } = read("lane,plate,pod,meter_on\n1,4.9,4.8,yes\n2,,4.8,yes\n");
    expect(readings.map(({ lane, point, meterOn }) => [lane, point, meterOn])).toEqual([
      [1, "plate", true],
      [1, "pod", false],
      [2, "pod", true],
    ]);
  });

  test("what stands behind the last column is kept apart here too", () => {
    const [only] = read("lane,plate,pod\n1,4.9,4.8,more\n").rejected;
    expect(only!.fields["extra"]).toBe("more");
  });
});
