import { lastPoint } from "../domain/circuit.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import { sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { isResting, type Reading } from "../domain/reading.ts";
import type { TouchCheck } from "../domain/touch.ts";
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

/** When, as far as it was written down and is not said in the head. */
function whenSaid({ takenAt }: Pick<Reading, "takenAt">, { day }: Common): string {
  const written = takenAt?.text.slice(0, 16).replace("T", " ") ?? "not written";
  const bare = day === null ? written : written.replace(`${day} `, "");
  return bare === day ? "not written" : bare;
}

/** When, by whom and on which meter. */
function said(reading: Reading, common: Common): readonly [string, string] {
  const { by, meter } = reading;
  const onMeter = common.meter === null ? `, meter ${meter}` : "";
  return [whenSaid(reading, common), `${by ?? "not written"}${onMeter}`];
}

/** The presses of the last day on which anybody pressed, together; none: an empty list. */
function pressesSaid(checks: readonly TouchCheck[], common: Common): readonly string[] {
  const last = checks.at(-1);
  if (last === undefined) return [];
  const own = checks.filter(({ takenAt }) => takenAt?.day === last.takenAt?.day);
  const sum = (of: (one: TouchCheck) => number): number =>
    own.reduce((all, one) => all + of(one), 0);
  const who = [...new Set(own.map(({ by }) => by ?? "not written"))].join(", ");
  const count = `${sum(({ registered }) => registered)} of ${sum(({ tried }) => tried)} registered`;
  return [`${count}, ${whenSaid(last, common)}, ${who}`];
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
@media screen and (max-width:36rem){body{font-size:9pt;padding:.5rem}th,td{padding:.1em .25em;overflow-wrap:anywhere}}
@page{margin:12mm}
@media print{body{font-size:9.5pt;max-width:none;padding:0}thead{display:table-header-group}}`;

/**
 * One page for the referee to sign: what each circuit read at its last point, by whom, when and on
 * which meter, and what was pressed. What nobody pressed says so; nothing is certified by it.
 *
 * @param touches presses with a fingertip count here where they were made since the walk began
 */
export function signedSheet(
  pool: Pool,
  walk: WalkDiagnosis,
  readings: readonly Reading[],
  touches: readonly TouchCheck[] = [],
): string {
  const meters = [...new Set(readings.map(({ meter }) => meter))];
  const common = {
    day: only(readings.map(({ takenAt }) => takenAt?.day ?? null)),
    meter: only(meters),
  };
  const begun = readings.map(({ takenAt }) => takenAt?.day ?? "").toSorted()[0] ?? "";
  const fingertip = touches.filter(
    ({ kind, takenAt }) => kind === "fingertip" && (takenAt?.day ?? "") >= begun,
  );
  const rows = pool.circuits.map((circuit) => {
    const own = readings.filter((one) => sameCircuit(one, circuit));
    const read = own.findLast((one) => isResting(one) && one.point === lastPoint(circuit));
    const held = own.findLast((one) => !isResting(one));
    const presses = fingertip.filter((one) => sameCircuit(one, circuit));
    const pressed = [
      ...pressesSaid(presses, common),
      ...(held === undefined
        ? []
        : [`held down: ${voltsText(held.volts)}, ${said(held, common).join(", ")}`]),
    ];
    const verdict = walk.circuits.find((one) => sameCircuit(one, circuit))?.verdict;
    return {
      lane: laneCell(circuit),
      isSound: verdict === "sound",
      cells: [
        deviceCell(circuit),
        read === undefined ? "" : voltsText(read.volts),
        ...(read === undefined ? ["", ""] : said(read, common)),
        pressed.length === 0 ? "not pressed" : pressed.join("; "),
        verdict === undefined
          ? "not read"
          : verdict === "sound"
            ? pressed.length === 0
              ? "reads sound, not pressed"
              : "reads sound"
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
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>${escapeHtml(title)}</title>
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
