import { readFileSync } from "node:fs";

/**
 * Thirty sheets as people have them: spreadsheet programs' exports in several countries, phones,
 * pasted tables, other people's headings. All invented. The pool: lanes 1 to 4, a touchpad and a
 * button-1 each, points timer, harness, plate, pod.
 */
export interface RealSheet {
  readonly name: string;
  /** How the file's name ends, where that is not `csv`. */
  readonly ending?: "xlsx" | "ods";
  readonly content: string | Uint8Array;
  /** Rows in and rows used; null: the sheet is refused with one sentence that holds `asks`. */
  readonly rows: readonly [number, number] | null;
  /** What is asked or said, where it is. */
  readonly asks?: string;
}

const utf16 = (text: string): Uint8Array => {
  const bytes = Buffer.from(`\ufeff${text}`, "utf16le");
  return new Uint8Array(bytes);
};
const latin = (text: string): Uint8Array => new Uint8Array(Buffer.from(text, "latin1"));
export const lines = (...rows: readonly string[]): string => `${rows.join("\r\n")}\r\n`;
/** A file that another program saved; by which, its name says. */
const saved = (name: string): Uint8Array =>
  new Uint8Array(readFileSync(new URL(`../spreadsheet/saved/${name}`, import.meta.url)));

/** The name of a sheet's file. */
export const fileOf = ({ name, ending }: RealSheet): string => `${name}.${ending ?? "csv"}`;

const devices = ["touchpad", "button-1"];
/** Volts of a whole walk by Ohm's law at 1000 ohm; lane 2's pod has 85 ohm too many. */
const volts = (lane: number, k: number): string =>
  (5000 / (1000 + [0.3, 1.1, 3.3, 3.8][k]! + (lane === 2 && k === 3 ? 85 : 0))).toFixed(2);
/** A whole walk, a row for each point: lane and device written once, their other cells merged. */
const mergedWalk = [1, 2, 3, 4].flatMap((lane) =>
  devices.flatMap((device, d) =>
    ["timer", "harness", "plate", "pod"].map((point, k) =>
      [d + k === 0 ? lane : "", k === 0 ? device : "", point, volts(lane, k)].join(","),
    ),
  ),
);
/** The same with a column for each point, and one cell in which nothing was read. */
const wideWalk = [1, 2, 3, 4].flatMap((lane) =>
  devices.map((device) =>
    [lane, device, ...[0, 1, 2, 3].map((k) => (lane + k === 7 ? "" : volts(lane, k)))].join(","),
  ),
);

export const thirtySheets: readonly RealSheet[] = [
  {
    name: "merged-workbook",
    ending: "xlsx",
    content: saved("merged-by-openpyxl.xlsx"),
    rows: [7, 6],
    asks: "not used",
  },
  {
    name: "merged-open-document",
    ending: "ods",
    content: saved("merged-by-sheetjs.ods"),
    rows: [6, 6],
    asks: "a line stands above the headings",
  },
  {
    name: "semicolons-commas",
    content: lines("Lane;Point;Volts", '"1";"pod";"4,98"', '"2";"pod";"4,61"'),
    rows: [2, 2],
  },
  {
    name: "day-first-slashes",
    content: lines("date,lane,point,volts", "24/08/2026,1,pod,4.98", "03/09/2026,2,pod,4.61"),
    rows: [2, 2],
  },
  {
    name: "dots-and-time",
    content: lines("taken_at;lane;point;volts", "21.9.2026 08:01;1;pod;4,98"),
    rows: [1, 1],
  },
  {
    name: "which-is-the-day",
    content: lines("date,lane,point,volts", "03/04/2026,1,pod,4.98", "05/04/2026,2,pod,4.61"),
    rows: null,
    asks: "--dates dmy or --dates mdy",
  },
  {
    name: "title-rows",
    content: lines(
      "Deck check,,",
      "Read by RK,,",
      ",,",
      "Lane,Point,Volts",
      "1,pod,4.98",
      "2,pod,4.61",
    ),
    rows: [2, 2],
    asks: "3 lines stand above the headings",
  },
  {
    name: "merged-lanes",
    content: lines("Lane,Device,Point,Volts", ...mergedWalk),
    rows: [32, 32],
  },
  {
    name: "wide",
    content: lines("Lane,Device,Timer,Harness,Plate,Pod", ...wideWalk),
    rows: [30, 30],
  },
  {
    name: "wide-with-units",
    content: lines("Lane;Device;Plate (V);Pod (V)", "1;touchpad;4,99;4,98", "2;touchpad;4,97;4,61"),
    rows: [4, 4],
  },
  {
    name: "millivolts",
    content: lines("lane,point,reading (mV)", "1,pod,4980", "2,pod,4610"),
    rows: [2, 2],
  },
  {
    name: "units-in-cells",
    content: lines("lane,point,volts", "1,pod,4.98 V", "2,pod,4610 mV"),
    rows: [2, 2],
  },
  {
    name: "lane-words",
    content: lines(
      "Lane,Point,Volts",
      "Lane 1,Pod,4.98",
      "L2,POD,4.61",
      "3.,pod,4.97",
      "04,pod,4.96",
    ),
    rows: [4, 4],
  },
  {
    name: "byte-order-mark",
    content: `\ufeff${lines("lane,point,volts", "1,pod,4.98")}`,
    rows: [1, 1],
  },
  { name: "utf16", content: utf16(lines("lane\tpoint\tvolts", "1\tpod\t4.98")), rows: [1, 1] },
  {
    name: "windows-1252",
    content: latin(lines("lane;point;volts;note", "1;pod;4,98;Stecker gel\u00f6st")),
    rows: [1, 1],
    asks: "read as windows-1252",
  },
  {
    name: "thin-spaces",
    content: lines("lane,point,volts", "1,pod,\u20094.98\u00a0V", "2,pod,4.61\u202fV"),
    rows: [2, 2],
  },
  {
    name: "blank-rows-between",
    content: lines("lane,point,volts", "1,pod,4.98", ",,", "", "2,pod,4.61", ",,"),
    rows: [2, 2],
  },
  {
    name: "old-mac-lines",
    content: "lane,point,volts\r1,pod,4.98\r2,pod,4.61\r",
    rows: [2, 2],
  },
  {
    name: "note-with-line-break",
    content: '"lane","point","volts","note"\r\n1,pod,4.98,"wet,\nread twice"\r\n2,pod,4.61,\r\n',
    rows: [2, 2],
  },
  {
    name: "date-and-time-apart",
    content: lines("Date,Time,Lane,Point,Volts", "2026-08-24,08:01,1,pod,4.98"),
    rows: [1, 1],
  },
  {
    name: "day-written-once",
    content: lines(
      "Date;Lane;Point;Volts",
      "24/08/2026;1;plate;4,98",
      ";;pod;4,97",
      ";2;pod;4,61",
      "25/08/2026;1;pod;4,98",
    ),
    rows: [4, 4],
  },
  {
    name: "month-names",
    content: lines("date,lane,point,volts", "24 Aug 2026,1,pod,4.98", "3 Sep 2026,2,pod,4.61"),
    rows: [2, 2],
  },
  {
    name: "extra-columns",
    content: lines("no,lane,point,volts,weather", "1,1,pod,4.98,sun", "2,2,pod,4.61,rain"),
    rows: [2, 2],
    asks: "not used: column",
  },
  {
    name: "other-headings",
    content: lines("Lane No,Test point,Voltage,Who", "1,pod,4.98,RK", "2,pod,4.61,RK"),
    rows: [2, 2],
  },
  {
    name: "typing-slips",
    content: lines("lane,point,volts", "1,pod,4,98", "2,palte,4.97", "3,pod,4.9l", "4,pod,4.96"),
    rows: [4, 1],
    asks: "did you mean",
  },
  {
    name: "lane-that-is-not-there",
    content: lines("lane,point,volts", "1,pod,4.98", "2,pod,4.61", "3,pod,4.97", "11,pod,4.97"),
    rows: [4, 3],
    asks: "lane is '11'",
  },
  {
    name: "same-rows-twice",
    content: lines(
      "taken_at,lane,point,volts",
      "2026-08-24T08:01,1,pod,4.98",
      "2026-08-24T08:02,2,pod,4.61",
      "2026-08-24T08:01,1,pod,4.98",
    ),
    rows: [3, 2],
    asks: "repeat",
  },
  {
    name: "sums-below",
    content: lines("lane,point,volts", "1,pod,4.98", "2,pod,4.61", "mean,,4.80"),
    rows: [3, 2],
    asks: "not used",
  },
  {
    name: "no-headings",
    content: lines("1,pod,4.98", "2,pod,4.61"),
    rows: null,
    asks: "lane",
  },
];
