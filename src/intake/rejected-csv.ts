import type { Reject } from "../domain/reading.ts";
import { csvLine } from "./csv-cell.ts";
import { baseName } from "./reading-row.ts";
import { headingMeaning } from "./sheet-columns.ts";

/** A column of the file to write: its heading, and the headings that it gathers. */
interface Column {
  heading: string;
  readonly gathers: Map<string, 0 | -3>;
}

/**
 * Files may call one column by several names: `Lane` and `lane no` go into one. Two columns of one
 * file never do, so that nothing of either is lost.
 */
function gatherColumns(rejects: readonly Reject[]): Map<string, Column> {
  const columns = new Map<string, Column>();
  const taken = new Set<string>();
  const known = new Set<string>();
  for (const { file, fields } of rejects) {
    for (const name of Object.keys(fields)) {
      if (known.has(`${file}\n${name}`)) continue;
      known.add(`${file}\n${name}`);
      const { meaning, exponent } = headingMeaning(name);
      const second = meaning === null || taken.has(`${file}\n${meaning}`);
      const key = second ? `?${name}` : meaning;
      if (!second) taken.add(`${file}\n${meaning}`);
      const column = columns.get(key) ?? { heading: name, gathers: new Map<string, 0 | -3>() };
      column.gathers.set(name, exponent);
      // Volts and millivolts in one column: each value then carries its own unit.
      const mixed = new Set(column.gathers.values()).size > 1;
      if (meaning === "volts" && mixed) column.heading = "volts";
      columns.set(key, column);
    }
  }
  return columns;
}

function cellOf(reject: Reject, { heading, gathers }: Column): string {
  const name = [...gathers.keys()].find((each) => Object.hasOwn(reject.fields, each));
  if (name === undefined) return "";
  const text = reject.fields[name]!;
  const lostUnit = headingMeaning(name).exponent === -3 && headingMeaning(heading).exponent === 0;
  return lostUnit && /\d\s*$/.test(text) ? `${text.trim()} mV` : text;
}

/**
 * `rejected.csv`: the same columns plus `reason`, to be mended and imported again.
 *
 * Cells of a wide sheet come out as long rows, so that the readings beside them, which were
 * accepted, don't come in twice. A row that got its walk from its file's name has it written out,
 * because the file to be mended has another name. What stood beyond the last column stands in
 * `extra`; the reader refuses such a row until that cell is emptied. Headings alone where nothing
 * was rejected. Rows of a work log come out in the same way, in a file of their own.
 */
export function rejectedCsv(rejects: readonly Reject[]): string {
  const columns = gatherColumns(rejects);
  const lineOf = (key: string, reject: Reject): string => {
    const column = columns.get(key);
    return column === undefined ? "" : cellOf(reject, column).trim();
  };
  const needsWalk = (reject: Reject): boolean =>
    columns.has("volts") &&
    ["walk", "taken_at", "date", "time"].every((key) => lineOf(key, reject) === "");
  const someNeedWalk = rejects.some(needsWalk);
  if (someNeedWalk && !columns.has("walk")) {
    columns.set("walk", { heading: "walk", gathers: new Map() });
  }
  const severalFiles = new Set(rejects.map(({ file }) => file)).size > 1;
  const rows = rejects.map((reject) => {
    const cells = [...columns].map(([key, column]) =>
      key === "walk" && needsWalk(reject) ? baseName(reject.file) : cellOf(reject, column),
    );
    const place = `${severalFiles ? `${reject.file} ` : ""}line ${reject.line}`;
    return [...cells, `${place}: ${reject.reason}`];
  });
  const header = [...[...columns.values()].map(({ heading }) => heading), "reason"];
  return [header, ...rows].map((row) => csvLine(row)).join("");
}
