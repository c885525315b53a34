import { lastPoint } from "../domain/circuit.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import { sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { isResting, type Reading } from "../domain/reading.ts";
import { english } from "../words/english.ts";
import { escapeHtml } from "./escape-html.ts";
import { deviceCell, laneCell, laneHead, voltsText } from "./names.ts";

/** What stands once, in the head, because it is the same in every row. */
interface Common {
  readonly day: string | null;
  readonly meter: string | null;
}

/** The one value that all have; null where they differ or there is none. */
function only<Value>(values: readonly Value[]): Value | null {
  const [first, ...others] = new Set(values);
  return first === undefined || others.length > 0 ? null : first;
}

/** When, by whom and on which meter, as far as it was written down and is not said in the head. */
function said({ takenAt, by, meter }: Reading, common: Common): readonly [string, string] {
  const written = takenAt?.text.slice(0, 16).replace("T", " ") ?? "not written";
  const bare = common.day === null ? written : written.replace(`${common.day} `, "");
  const when = bare === common.day ? "not written" : bare;
  return [when, `${by ?? "not written"}${common.meter === null ? `, meter ${meter}` : ""}`];
}

const style = `
body{font:10.5pt/1.3 system-ui,sans-serif;color:#000;background:#fff;max-width:48rem;margin:0 auto;padding:1rem}
h1{font-size:15pt;margin:0 0 .2rem}p{margin:.3rem 0}
table{border-collapse:collapse;width:calc(100% - 1px);margin:.5rem 0}
th,td{border:1px solid #777;padding:.18em .5em;text-align:left;vertical-align:middle}
thead{border-bottom:2px solid #000}tbody{border-bottom:2px solid #000;break-inside:avoid}
tbody th{font-size:12pt;text-align:center;white-space:nowrap}
.volts{text-align:right;font-variant-numeric:tabular-nums;white-space:nowrap}
.not-sound{font-weight:bold}
.blanks{display:grid;grid-template-columns:1fr 1fr;gap:0 2rem;break-inside:avoid}
.blanks p{border-top:1px solid #000;font-size:9pt;margin:2.6rem 0 0;padding-top:.15rem}
.blanks+p{margin-top:1rem}
@page{margin:12mm}
@media print{body{font-size:9.5pt;max-width:none;padding:0}thead{display:table-header-group}}`;

/**
 * One page for the referee to sign: what each circuit read at its last point, by whom, when and on
 * which meter, and what was pressed. What nobody pressed says so; nothing is certified by it.
 */
export function signedSheet(pool: Pool, walk: WalkDiagnosis, readings: readonly Reading[]): string {
  const meters = [...new Set(readings.map(({ meter }) => meter))];
  const common = {
    day: only(readings.map(({ takenAt }) => takenAt?.day ?? null)),
    meter: only(meters),
  };
  const rows = pool.circuits.map((circuit) => {
    const own = readings.filter((one) => sameCircuit(one, circuit));
    const read = own.findLast((one) => isResting(one) && one.point === lastPoint(circuit));
    const pressed = own.findLast((one) => !isResting(one));
    const verdict = walk.circuits.find((one) => sameCircuit(one, circuit))?.verdict;
    return {
      lane: laneCell(circuit),
      isSound: verdict === "sound",
      cells: [
        deviceCell(circuit),
        read === undefined ? "" : voltsText(read.volts),
        ...(read === undefined ? ["", ""] : said(read, common)),
        pressed === undefined
          ? "not pressed"
          : `${voltsText(pressed.volts)}, ${said(pressed, common).join(", ")}`,
        verdict === undefined
          ? "not read"
          : verdict === "sound"
            ? "reads sound"
            : english.verdicts.verdicts[verdict],
      ],
    };
  });
  const head = [
    `Walk ${walk.walk}`,
    ...(common.day === null || common.day === walk.walk ? [] : [`read on ${common.day}`]),
    ...(common.meter === null ? [] : [`meter ${common.meter}`]),
    "each circuit at its last point",
  ].join(", ");
  const blanks = [
    ...meters.map((meter) => `Meter ${meter}, last calibrated on`),
    "Read by (name, signature)",
    "Referee (name, signature, time)",
  ];
  const title = `${pool.name}: proof sheet`;
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>${escapeHtml(title)}</title>
<style>${style}</style></head>
<body><h1>${escapeHtml(title)}</h1>
<p>${escapeHtml(head)}.</p>
<table><thead><tr>${heads.map((one) => `<th scope="col"${one === "volts" ? ' class="volts"' : ""}>${one}</th>`).join("")}</tr></thead>
${lanesOf(rows)}</table>
<div class="blanks">${blanks.map((one) => `<p>${escapeHtml(one)}</p>`).join("\n")}</div>
<p>This sheet says what was read and pressed. It certifies nothing: what a competition needs is for its officials to say.</p>
</body></html>
`;
}

const heads = ["lane", "device", "volts", "read at", "by", "pressed", "state"];

interface Row {
  readonly lane: string;
  readonly isSound: boolean;
  readonly cells: readonly string[];
}

/** A lane's rows stay together on one page. */
function lanesOf(rows: readonly Row[]): string {
  return [...new Set(rows.map(({ lane }) => lane))]
    .map((lane) => {
      const own = rows.filter((row) => row.lane === lane);
      const lines = own.map(({ cells, isSound }, i) => {
        const [device = "", volts = "", ...others] = cells.map(escapeHtml);
        const state = others.pop();
        const first =
          i === 0 ? `<th rowspan="${own.length}">${escapeHtml(laneHead(lane))}</th>` : "";
        return (
          `<tr>${first}<td>${device}</td><td class="volts">${volts}</td>` +
          `${others.map((cell) => `<td>${cell}</td>`).join("")}` +
          `<td${isSound ? "" : ' class="not-sound"'}>${state}</td></tr>`
        );
      });
      return `<tbody>${lines.join("\n")}</tbody>`;
    })
    .join("\n");
}
