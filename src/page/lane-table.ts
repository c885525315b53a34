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
  "take again": "again",
  "not read": "unread",
};

function cellNode(cell: MapCell): HTMLElement {
  const volts = cell.volts === null ? "–" : voltsFigures(cell.volts);
  return h(
    "td",
    { class: look[cell.word] },
    h("span", { class: "cell-volts" }, volts),
    cell.word !== "" && h("span", { class: "cell-word" }, cell.word),
  );
}

/** The lane-by-point map of one walk: a table a device, for eyes and screen readers alike. */
export function laneTables(
  pool: Pool,
  walk: WalkDiagnosis,
  readings: readonly Reading[],
): readonly HTMLElement[] {
  const cells = mapCells(pool, walk, readings);
  const read = pool.devices.filter((device) =>
    cells.some((cell) => cell.device === device && cell.volts !== null),
  );
  return read.map((device) => {
    const rows = pool.lanes.map((lane) =>
      h(
        "tr",
        {},
        h("th", { scope: "row" }, String(lane)),
        ...cells
          .filter((cell) => cell.device === device && cell.lane === String(lane))
          .toReversed()
          .map(cellNode),
      ),
    );
    const heads = pool.chain.toReversed().map((link) => h("th", { scope: "col" }, link.point));
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
