import type { Round } from "../meet/round.ts";
import { sentence } from "../words/figure-words.ts";
import { takeCare } from "./cautions.ts";
import { escapeHtml as text } from "./escape-html.ts";
import { counted, laneHead, voltsText } from "./names.ts";
import type { SheetHead } from "./round-csv.ts";
import { type RoundPage, roundPages } from "./round-pages.ts";

/** Height that the boxes of one page share on Letter, the shorter paper [mm], and their own bounds. */
const BOXES_MM = 176;
const BOX_MM = [5.5, 9] as const;

/** For paper: A4 and Letter, black on white, a box for every reading big enough for wet fingers. */
const style = (boxMm: number, devicePercent: number): string => `
:root { color-scheme: light; }
body { font: 10.5pt/1.3 "DejaVu Sans", Verdana, Arial, sans-serif; color: #000; background: #fff;
  max-width: 48rem; margin: 0 auto; padding: 1rem; }
h1 { font-size: 14pt; margin: 0 0 .2rem; }
p { margin: .25rem 0; }
dl { display: flex; flex-wrap: wrap; gap: .2rem 1.5rem; margin: .3rem 0; }
dl div { display: flex; gap: .4rem; } dt { font-weight: bold; } dd { margin: 0; min-width: 6rem;
  border-bottom: 1px solid #000; }
.caution { border: 1px solid #000; border-left: .4rem double #000; padding: .15rem .6rem;
  font-size: 9pt; }
table { border-collapse: collapse; width: calc(100% - 1px); margin-top: .4rem; table-layout: fixed; }
th, td { border: 1px solid #000; padding: 0 .3rem; text-align: left; overflow-wrap: anywhere; }
thead th { text-align: center; padding: .1rem; font-size: .92em; }
thead th.left { text-align: left; }
thead .figures th { font-size: 8pt; font-weight: normal; overflow-wrap: normal; padding: .1rem; }
thead .figures th.left { font-size: inherit; padding: .1rem .3rem; }
tbody { border-top: 2.5px solid #000; }
tbody th[scope=rowgroup] { font-size: 14pt; text-align: center; }
tbody th[scope=rowgroup].without { font-size: 9pt; }
tbody th[scope=row] { font-weight: normal; }
.lane { width: 8%; } .device { width: ${devicePercent}%; } .note { width: 15%; }
td.read { height: ${boxMm}mm; }
td.none { background: #ddd; text-align: center; font-size: 7pt; line-height: 1; padding: 0; print-color-adjust: exact;
  -webkit-print-color-adjust: exact; }
@page { margin: 10mm; }
@media print {
  body { font-size: 9pt; line-height: 1.25; max-width: none; padding: 0; }
  .caution { font-size: 8.5pt; }
  tbody { break-inside: avoid; }
  thead { display: table-header-group; }
  section + section { break-before: page; }
}
`;

/**
 * The round as one printable page a side of the pool: lanes down, points across, a box for every
 * reading. Opens offline, holds no script, treats every name as text.
 */
export function roundSheet(round: Round, head: SheetHead): string {
  const title = `${round.pool}: round of ${head.date}`;
  const pages = roundPages(round);
  const most = Math.max(...pages.map(({ rows }) => rows.length));
  const points = Math.max(...pages.map(({ columns }) => columns.length));
  // A name on one line leaves a row its height; few points leave a name its width.
  const devicePercent = Math.max(15, 38 - 4 * points);
  const boxMm = Math.min(BOX_MM[1], Math.max(BOX_MM[0], Math.floor((10 * BOXES_MM) / most) / 10));
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>${text(title)}</title>
<style>${style(boxMm, devicePercent)}</style>
</head>
<body>
${pages.map((page) => pageHtml(round, head, title, page)).join("\n")}
</body>
</html>
`;
}

function pageHtml(round: Round, head: SheetHead, title: string, page: RoundPage): string {
  return `<section>
<h1>${text(page.end === null ? title : `${title}, ${page.end} end`)}</h1>
<dl>
<div><dt>By</dt><dd>${text(head.by)}</dd></div>
<div><dt>Start</dt><dd></dd></div>
<div><dt>End</dt><dd></dd></div>
<div><dt>Meter</dt><dd>${text(round.meter.name)}</dd></div>
</dl>
<p>${counted(round.readings, "reading")}, about ${counted(Math.ceil(round.seconds / 60), "minute")}. ${text(offText(round))} A dead display is not a reading of 0: switch on and read again.</p>
<p>${text(expectation(round))}</p>
<p class="caution">${text(takeCare("measure"))}</p>
<table>
${headHtml(page)}
${lanesHtml(page)}
</table>
</section>`;
}

/** Where one stands for each point, the point, and what of a drop would matter there. */
function headHtml({ columns }: RoundPage): string {
  const stands: { at: string; count: number }[] = [];
  for (const { place } of columns) {
    const at = place === "timer" ? "at the timer, all lanes first" : "then lane by lane";
    const last = stands.at(-1);
    if (last?.at === at) last.count += 1;
    else stands.push({ at, count: 1 });
  }
  const groups = stands.map(
    ({ at, count }) => `<th scope="colgroup" colspan="${count}">${at}</th>`,
  );
  const points = columns.map(({ point }) => `<th scope="col">${text(point)}</th>`);
  const figures = columns.map(({ drop, range }) => `<th>${text(drop ?? range ?? "")}</th>`);
  return `<thead>
<tr><th class="lane" rowspan="2" scope="col">Lane</th>
<th class="device left" rowspan="2" scope="col">Device</th>
${groups.join("")}<th class="note" rowspan="2" scope="col">Note</th></tr>
<tr>${points.join("")}</tr>
<tr class="figures"><th class="left" colspan="2">What matters (V)</th>
${figures.join("")}<th></th></tr>
</thead>`;
}

function lanesHtml({ columns, rows }: RoundPage): string {
  const lanes = [...new Set(rows.map(({ lane }) => lane))];
  return lanes
    .map((lane) => {
      const own = rows.filter((row) => row.lane === lane);
      const lines = own.map((row, i) => {
        const style = laneHead(lane) === lane ? "" : ' class="without"';
        const first = `<th scope="rowgroup"${style} rowspan="${own.length}">${text(laneHead(lane))}</th>`;
        const boxes = columns.map(({ point }) =>
          row.points.has(point) ? `<td class="read"></td>` : `<td class="none">no point</td>`,
        );
        const name = `<th scope="row">${text(row.device)}</th>`;
        return `<tr>${i === 0 ? first : ""}${name}${boxes.join("")}<td></td></tr>`;
      });
      return `<tbody>${lines.join("\n")}</tbody>`;
    })
    .join("\n");
}

/** When the meter goes off, and what that asks for. */
export function offText({ meter: { name, offAfter }, windows }: Round): string {
  if (offAfter === null)
    return (
      `When the meter ${name} switches itself off is not known: time it once, and write it into the ` +
      "pool file as off_after."
    );
  const most = Math.max(...windows.map(({ stops }) => stops.length));
  return (
    `The meter (${name}) switches itself off ${offAfter[0]} to ${offAfter[1]} s after it was ` +
    `switched on: switch it on anew at each lane, and after at most ${counted(most, "reading")}.`
  );
}

/** The point at which each row's path ends. */
const lastPoints = ({ columns, rows }: RoundPage): readonly string[] =>
  rows.flatMap(({ points }) => columns.findLast(({ point }) => points.has(point))?.point ?? []);

/** What of a reading would matter, or why nobody can say. */
export function expectation(round: Round): string {
  const { expected, limit, meter } = round;
  if (expected === null)
    return (
      `Nobody knows the load of the meter ${meter.name}, so no value can be expected; ` +
      "measure its load first."
    );
  const ends = [...new Set(roundPages(round).flatMap(lastPoints))].join(" or ");
  const weak = limit === null ? "" : ` Under ${voltsText(limit)} at the ${ends} a path is weak.`;
  return sentence(
    `what matters: a first reading outside its range; behind it, a drop from the same row's first ` +
      `reading of more than the point's figure. 19 in 20 sound ones stay within. Read such a box ` +
      `again at once.${weak}`,
  );
}
