import { lastPoint } from "../domain/circuit.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import { isGone, isSpare, type Part, partsNow } from "../domain/part.ts";
import type { Pool } from "../domain/pool.ts";
import type { WorkEntry } from "../domain/work.ts";
import { sentence } from "../words/figure-words.ts";
import { takeCare } from "./cautions.ts";
import { checklists } from "./checklists.ts";
import { escapeHtml as text } from "./escape-html.ts";
import { connectorName, counted, ohmsText, voltsText } from "./names.ts";
import { suspectsToVisit } from "./worth-saying.ts";

/** What a successor is told. */
export interface HandOver {
  readonly pool: Pool;
  /** The latest walk, diagnosed; null where nobody walked. */
  readonly walk: WalkDiagnosis | null;
  readonly work: readonly WorkEntry[];
  readonly parts: readonly Part[];
  /** About the pads, in a sentence; null where no water is logged. */
  readonly pads: string | null;
  readonly date: string;
}

/** So many of the latest works are named. */
const LATEST = 6;

/** For the hand to fill in. */
const asked = [
  "Electrician",
  "Spare parts from",
  "Meter, last calibrated on",
  "Handed over by, to",
];

const style = `
body{font:11pt/1.35 system-ui,sans-serif;color:#000;background:#fff;margin:0 auto;max-width:46rem;padding:1rem}
h1{font-size:15pt;margin:0 0 .3em}p{margin:.2em 0}h2{font-size:12pt;margin:.7em 0 .1em;border-bottom:1px solid #777;break-after:avoid}
h3{font-size:1em;margin:.4em 0 0}ul{margin:.15em 0;padding-left:1.2em}
.lists{columns:2;column-gap:2em}.lists section{break-inside:avoid}.lists section:first-child :is(h2,h3){margin-top:0}.lists{margin-top:.4em}
.blanks{display:grid;grid-template-columns:1fr 1fr;gap:0 2em;break-inside:avoid}
.blanks p{border-top:1px solid #000;font-size:.85em;margin:2.2em 0 0;padding-top:.1em}
@page{margin:12mm}
@media (max-width:32rem){.lists{columns:1}.blanks{grid-template-columns:1fr}}
@media print{body{font-size:8.5pt;line-height:1.3;max-width:none;padding:0}}`;

/** One page for whoever comes next: the gear, how it stands, what was done, where the parts are, what to do when. */
export function handOver(given: HandOver): string {
  const { pool, walk, date } = given;
  const title = `${pool.name}: hand-over of ${date}`;
  const sections: readonly (readonly [string, readonly string[]])[] = [
    ["What hangs here", gearLines(pool)],
    [walk === null ? "How it stands" : `How it stood in walk ${walk.walk}`, stateLines(given)],
    ["What was done last", workLines(given.work)],
    ["Parts", partLines(given.parts)],
  ];
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>${text(title)}</title>
<style>${style}</style></head>
<body><h1>${text(title)}</h1>
<p>Beside this page belong the pool’s files: “Save everything in one file” on the deck page, or its folder.</p>
<div class="lists">${sections
    .map(
      ([head, lines]) =>
        `<section><h2>${text(head)}</h2><ul>${lines.map((line) => `<li>${text(line)}</li>`).join("")}</ul></section>`,
    )
    .join("\n")}</div>
<h2>What to do when</h2>
<div class="lists">${checklists
    .map(
      ({ title: when, items }) =>
        `<section><h3>${text(when)}</h3><ul>${items.map(({ words }) => `<li>${text(words)}</li>`).join("")}</ul></section>`,
    )
    .join("\n")}</div>
<p>${text(takeCare("measure", "clean", "lift-pads"))}</p>
<h2>Who to ask</h2>
<div class="blanks">${asked.map((who) => `<p>${text(who)}</p>`).join("")}</div>
</body></html>
`;
}

function gearLines({ lanes, circuits, links, meters, limit }: Pool): readonly string[] {
  const points = [...new Set(links.map(({ point }) => point))].join(", ");
  const ends = [...new Set(circuits.map(lastPoint))].join(" or ");
  return [
    `${counted(lanes.length, "lane")}, ${counted(circuits.length, "circuit")}; read from the timer out: ${points}.`,
    ...meters.map(
      ({ name, loadOhms }) =>
        `Meter ${name}: ${loadOhms === null ? "load not known" : `load ${ohmsText(loadOhms)}`}.`,
    ),
    !("ohms" in limit)
      ? `Weak is under ${voltsText(limit.volts)} at the ${ends}.`
      : `Weak is over ${ohmsText(limit.ohms)} of the whole path.`,
  ];
}

function stateLines({ walk, pads }: HandOver): readonly string[] {
  if (walk === null) return ["Nobody has walked yet.", ...(pads === null ? [] : [sentence(pads)])];
  const of = (verdict: string): number =>
    walk.circuits.filter((one) => one.verdict === verdict).length;
  const named = suspectsToVisit(walk.connectors);
  return [
    `${of("sound")} sound, ${of("weak")} weak, ${of("read-again")} to read again, of ${walk.circuits.length} read.`,
    ...named.map((one) => `See to: ${connectorName(one)}, drops ${voltsText(one.voltsLost)}.`),
    ...(pads === null ? [] : [sentence(pads)]),
  ];
}

function workLines(work: readonly WorkEntry[]): readonly string[] {
  const latest = work.slice(-LATEST).toReversed();
  if (latest.length === 0) return ["Nothing is in the work log yet."];
  return latest.map(
    (one) =>
      `${one.doneAt.day}: ${workWords(one)} ${one.action}${one.by === null ? "" : ` (${one.by})`}.`,
  );
}

const workWords = ({ lane, device, point }: WorkEntry): string =>
  [lane === null ? null : `lane ${lane}`, device, point].filter((one) => one !== null).join(" ");

function partLines(lines: readonly Part[]): readonly string[] {
  const parts = partsNow(lines);
  if (parts.length === 0) return ["No part has a tag yet."];
  const spares = parts.filter(isSpare);
  const placed = parts.filter((one) => !isSpare(one) && !isGone(one));
  const named = (list: readonly Part[]): string =>
    list.map(({ tag, kind }) => (kind === "" ? tag : `${tag} (${kind})`)).join(", ");
  return [
    `Spares: ${spares.length === 0 ? "none" : named(spares)}.`,
    ...placed.map((one) => `${named([one])}: ${one.where}.`),
  ];
}
