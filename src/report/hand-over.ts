import { lastPoint } from "../domain/circuit.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import { isGone, isSpare, type Part, partsNow } from "../domain/part.ts";
import type { Pool } from "../domain/pool.ts";
import type { WorkEntry } from "../domain/work.ts";
import { checklists } from "./checklists.ts";
import { escapeHtml as text } from "./escape-html.ts";
import { connectorName, counted, ohmsText, sentence, voltsText } from "./names.ts";

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

/** From this probability on a connector is named. */
const NAMED = 0.5;
/** So many of the latest works are named. */
const LATEST = 6;

/** One page for whoever comes next: the gear, how it stands, what was done, where the parts are, what to do when. */
export function handOver(given: HandOver): string {
  const { pool, walk, date } = given;
  const title = `${pool.name}: hand-over of ${date}`;
  const sections: readonly (readonly [string, readonly string[]])[] = [
    ["What hangs here", gearLines(pool)],
    [walk === null ? "How it stands" : `How it stood in walk ${walk.walk}`, stateLines(given)],
    ["What was done last", workLines(given.work)],
    ["Parts", partLines(given.parts)],
    [
      "What to do when",
      checklists.map(
        (one) => `${one.title}: ${counted(one.items.length, "step")} on the deck page, under Day`,
      ),
    ],
    ["Who to ask (fill in)", ["Electrician:", "Spare parts from:", "Meter, calibrated on:"]],
  ];
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>${text(title)}</title>
<style>body{font:11pt/1.35 system-ui,sans-serif;margin:0 auto;max-width:46rem;padding:1rem}h1{font-size:15pt}
h2{font-size:12pt;margin:.8em 0 .2em}ul{margin:.2em 0;padding-left:1.2em}@media print{body{font-size:9.5pt;padding:0}}</style></head>
<body><h1>${text(title)}</h1>
${sections
  .map(
    ([head, lines]) =>
      `<h2>${text(head)}</h2><ul>${lines.map((line) => `<li>${text(line)}</li>`).join("")}</ul>`,
  )
  .join("\n")}
<p>Beside this page belong the pool’s files: “Save everything in one file” on the deck page, or its folder.</p>
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
  const named = walk.connectors.filter(({ atFault }) => atFault >= NAMED);
  return [
    `${of("sound")} sound, ${of("weak")} weak, ${of("read-again")} to read again, of ${walk.circuits.length} read.`,
    ...named.map((one) => `See to: ${connectorName(one)}, drops ${voltsText(one.voltsLost)}.`),
    ...(pads === null ? [] : [sentence(pads)]),
  ];
}

function workLines(work: readonly WorkEntry[]): readonly string[] {
  const latest = work.slice(-LATEST).toReversed();
  if (latest.length === 0) return ["Nothing is in the work log yet."];
  return latest.map((one) => `${one.doneAt.day}: ${workWords(one)} ${one.action}.`);
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
