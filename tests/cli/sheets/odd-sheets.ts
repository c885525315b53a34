import { lines, type RealSheet } from "./thirty-sheets.ts";

/** Ten sheets in shapes that people make for their own eyes; each is used, or said in one sentence. */
export const oddSheets: readonly RealSheet[] = [
  {
    name: "averages-below-a-wide-sheet",
    content: lines(
      "Quiet Cove pool;;;",
      "Checked by;MN;;",
      "Lane;Device;Plate;Pod",
      "1;touchpad;4,95;4,94",
      ";button-1;4,95;4,94",
      "Average;;4,95;4,94",
    ),
    rows: [6, 4],
    asks: "lane is 'Average'",
  },
  {
    name: "millivolts-and-a-total",
    content: lines(
      "Date,Lane,Device,Point,mV,Remarks",
      "14/09/2026,L1,touchpad,plate,4950,",
      '14/09/2026,L2,touchpad,pod,4402 mV,"green, wet"',
      "Total readings: 2,,,,,",
    ),
    rows: [3, 2],
    asks: "Total readings: 2",
  },
  {
    name: "two-blocks",
    content: lines(
      "Lane,Plate,Pod",
      "1,4.95,4.94",
      "",
      "Afternoon,,",
      "Lane,Plate,Pod",
      "1,4.96,4.95",
      "2,4.95,4.94",
    ),
    rows: [9, 6],
    asks: "line 5: the headings once more",
  },
  {
    name: "blocks-side-by-side",
    content: lines("Lane,Point,Volts,,Lane,Point,Volts", "1,pod,4.94,,3,pod,4.92"),
    rows: null,
    asks: "put one under the other",
  },
  {
    name: "a-column-for-each-lane",
    content: lines("Point,Lane 1,Lane 2", "plate,4.95,4.41", "pod,4.94,4.40"),
    rows: null,
    asks: "write a row for each lane",
  },
  {
    name: "units-and-dots-in-headings",
    content: lines("LANE NO.,DEVICE:,plate (V),pod (V)", '1,touchpad,"4,95","4,94"'),
    rows: [2, 2],
  },
  {
    name: "headings-of-another-language",
    content: lines("Datum;Bahn;Punkt;Spannung", "14.09.2026;1;plate;4,95"),
    rows: null,
    asks: "line 1: the header has no column lane",
  },
  {
    name: "two-values-in-a-cell",
    content: lines("lane,plate,pod", "1,4.95/4.94,4.94", "2,4.41 then 4.95,OL", "3,4.95,4.94"),
    rows: [6, 3],
    asks: "volts is '4.95/4.94': not a number",
  },
  {
    name: "remarks-between-rows",
    content:
      "lane\tpoint\tvolts\r\nLane 1\tPod\t4.94V\r\n# lane 2 skipped\r\nLane 3\tPod\t4.9?\r\n",
    rows: [3, 1],
    asks: "lane is '# lane 2 skipped'",
  },
  {
    name: "tens-of-volts-and-swapped-leads",
    content: lines("lane,point,volts", "1,pod,4.94", "2,pod,44.1", "3,pod,-4.41", "4,pod,4.95"),
    rows: [4, 2],
    asks: "so the leads were swapped or a sign slipped in",
  },
];
