import type { Reject } from "../domain/reading.ts";
import { csvLine } from "./csv-cell.ts";
import { baseName } from "./reading-row.ts";
import { headingMeaning } from "./sheet-columns.ts";

/** A column of the file to write: its heading, and the headings that it gathers. */
interface Column {
  heading: string;
  readonly gathers: Set<string>;
}

/** Files may call one column by several names: `Lane` and `lane no` go into one. */
function gatherColumns(rejects: readonly Reject[]): Map<string, Column> {
  const columns = new Map<string, Column>();
  for (const name of new Set(rejects.flatMap(({ fields }) => Object.keys(fields)))) {
    const { meaning } = headingMeaning(name);
    const key = meaning ?? `?${name}`;
    const column = columns.get(key) ?? { heading: name, gathers: new Set<string>() };
    column.gathers.add(name);
    // Volts and millivolts in one column: each value then carries its own unit.
    const exponents = new Set([...column.gathers].map((each) => headingMeaning(each).exponent));
    if (meaning === "volts" && exponents.size > 1) column.heading = "volts";
    columns.set(key, column);
  }
  return columns;
}

function cellOf(reject: Reject, { heading, gathers }: Column): string {
  const name = [...gathers].find((each) => reject.fields[each] !== undefined);
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
    columns.set("walk", { heading: "walk", gathers: new Set() });
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
