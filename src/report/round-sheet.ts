import type { MeterWindow } from "../meet/meter-windows.ts";
import type { Round } from "../meet/round.ts";
import { cautionsFor } from "./cautions.ts";
import { escapeHtml as text } from "./escape-html.ts";
import { counted, deviceCell, laneCell, sentence, whoText } from "./names.ts";
import type { SheetHead } from "./round-csv.ts";

/** For paper: A4 and Letter, black on white, a box for every reading big enough for wet fingers. */
const style = `
:root { color-scheme: light; }
body { font: 11pt/1.3 "DejaVu Sans", Verdana, Arial, sans-serif; color: #000; background: #fff;
  max-width: 48rem; margin: 0 auto; padding: 1rem; }
h1 { font-size: 15pt; margin: 0 0 .3rem; }
p { margin: .3rem 0; }
dl { display: flex; flex-wrap: wrap; gap: .2rem 1.5rem; margin: .4rem 0; }
dl div { display: flex; gap: .4rem; } dt { font-weight: bold; } dd { margin: 0; min-width: 6rem;
  border-bottom: 1px solid #000; }
.caution { border: 1px solid #000; border-left: .4rem double #000; padding: .2rem .6rem;
  font-size: 9.5pt; margin: .5rem 0; }
table { border-collapse: collapse; width: 100%; }
th, td { border: 1px solid #000; padding: .15rem .4rem; text-align: left; }
tbody th { background: #eee; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
.number { text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; }
.read { width: 24%; height: 8.5mm; } .note { width: 22%; }
@page { margin: 12mm; }
@media print {
  body { font-size: 10pt; max-width: none; padding: 0; }
  tbody, .caution { break-inside: avoid; }
  thead { display: table-header-group; }
}
`;

/** The round as one printable page: opens offline, holds no script, treats every name as text. */
export function roundSheet(round: Round, head: SheetHead): string {
  const title = `${round.pool}: round of ${head.date}`;
  const minutes = Math.ceil(round.seconds / 60);
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>${text(title)}</title>
<style>${style}</style>
</head>
<body>
<h1>${text(title)}</h1>
<dl>
<div><dt>By</dt><dd>${text(head.by)}</dd></div>
<div><dt>Start</dt><dd></dd></div>
<div><dt>End</dt><dd></dd></div>
<div><dt>Meter</dt><dd>${text(round.meter.name)}</dd></div>
</dl>
<p>${counted(round.readings, "reading")} in ${counted(round.windows.length, "window")}, about ${counted(minutes, "minute")}. ${offText(round)} A dead display is not a reading of 0: switch on and read again.</p>
<p>${text(expectation(round))}</p>
<div class="caution">${cautionsFor("measure")
    .map((caution) => `<p>${text(caution.words)}</p>`)
    .join("")}</div>
<table>
<thead><tr><th scope="col">Lane</th><th scope="col">Device</th><th scope="col">Point</th>
<th scope="col" class="number">Expect (V)</th><th scope="col">Read (V)</th><th scope="col">Note</th></tr></thead>
${round.windows.map((window, i) => windowRows(round, window, i)).join("\n")}
</table>
</body>
</html>
`;
}

/** When the meter goes off, and what that asks for. */
export const offText = ({ meter: { name, offAfter } }: Round): string =>
  offAfter === null
    ? `When the meter ${name} switches itself off is not known: time it once, and write it into the ` +
      "pool file as off_after."
    : `The meter (${name}) switches itself off ${offAfter[0]} to ${offAfter[1]} s after it was ` +
      "switched on: switch it on anew at the start of each window.";

/** What the column "Expect" means, or why it is empty. */
export const expectation = (round: Round): string =>
  round.expected === null
    ? `Nobody knows the load of the meter ${round.meter.name}, so no value can be expected; ` +
      "measure its load first."
    : "Expect: where 19 in 20 readings of a sound path of this pool fall, on this meter.";

function windowRows(round: Round, window: MeterWindow, index: number): string {
  const places = [...new Set(window.stops.map(placeOf))].join(", ");
  const rows = window.stops.map((stop) => {
    const expected = round.expected?.find((one) => one.point === stop.point);
    const range =
      expected === undefined ? "" : `${expected.low.toFixed(2)} to ${expected.high.toFixed(2)}`;
    return (
      `<tr><td>${text(laneCell(stop))}</td><td>${text(deviceCell(stop))}</td>` +
      `<td>${text(stop.point)}</td><td class="number">${range}</td>` +
      `<td class="read"></td><td class="note"></td></tr>`
    );
  });
  return (
    `<tbody><tr><th colspan="6" scope="rowgroup">${index + 1}. Meter on. ${text(places)} ` +
    `(${Math.round(window.seconds)} s)</th></tr>\n${rows.join("\n")}</tbody>`
  );
}

const placeOf = (stop: MeterWindow["stops"][number]): string =>
  stop.place === "timer"
    ? `${sentence(stop.connector)}, at the timer`
    : `${sentence(whoText(stop))}, ${stop.connector}`;
