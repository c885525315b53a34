import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { type MapCell, mapCells } from "../report/charts/lane-map.ts";
import { h } from "./element.ts";
import { voltsFigures } from "./numbers.ts";

/** One word to a kind of cell, said in text and as a frame. */
const look: Readonly<Record<MapCell["word"], string>> = {
  "": "",
  weak: "weak",
  "fault here": "fault",
  "read again": "again",
  "not read": "unread",
};

function cellNode(cell: MapCell): HTMLElement {
  const volts = cell.volts === null ? "–" : voltsFigures(cell.volts);
  return h(
    "td",
    { class: look[cell.word] },
    h("span", { class: "cell-volts" }, volts),
    // The dash says it to the eye.
    cell.word !== "" &&
      h("span", { class: cell.volts === null ? "cell-word aside" : "cell-word" }, cell.word),
  );
}

/** The lane-by-point map of one walk: a table a device, for eyes and screen readers alike. */
export function laneTables(
  pool: Pool,
  walk: WalkDiagnosis,
  readings: readonly Reading[],
): readonly HTMLElement[] {
  const cells = mapCells(pool, walk, readings);
  const devices = [...new Set(cells.map((cell) => cell.device))];
  const read = devices.filter((device) =>
    cells.some((cell) => cell.device === device && cell.volts !== null),
  );
  return read.map((device) => {
    const own = cells.filter((cell) => cell.device === device);
    const points = pool.points.filter((point) => own.some((cell) => cell.point === point));
    const rows = [...new Set(own.map((cell) => cell.lane))].map((lane) =>
      h(
        "tr",
        {},
        h("th", { scope: "row" }, lane),
        ...points.map((point) => {
          const here = own.find((cell) => cell.lane === lane && cell.point === point);
          return here === undefined ? h("td", {}, "") : cellNode(here);
        }),
      ),
    );
    const heads = points.map((point) => h("th", { scope: "col" }, point));
    const title = `Volts of the ${device}, by lane and point`;
    return h(
      "div",
      { class: "wide", tabindex: "0", role: "region", "aria-label": title },
      h(
        "table",
        { class: "map" },
        h("caption", {}, title),
        h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "lane"), ...heads)),
        h("tbody", {}, ...rows),
      ),
    );
  });
}
