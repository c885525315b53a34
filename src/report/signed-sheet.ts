import { lastPoint } from "../domain/circuit.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import { sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { isResting, type Reading } from "../domain/reading.ts";
import { escapeHtml } from "./escape-html.ts";
import { deviceCell, laneCell, voltsText } from "./names.ts";
import { verdictNames } from "./verdict-words.ts";

/** When and by whom, as far as it was written down. */
function said({ takenAt, by, meter }: Reading): string {
  const when = takenAt === null ? "time not written" : takenAt.text.slice(0, 16).replace("T", " ");
  return `${when}, ${by ?? "initials not written"}, meter ${meter}`;
}

/**
 * One page for the referee to sign: what each circuit read at its last point, by whom, when and on
 * which meter, and what was pressed. What nobody pressed says so; nothing is certified by it.
 */
export function signedSheet(pool: Pool, walk: WalkDiagnosis, readings: readonly Reading[]): string {
  const rows = pool.circuits.map((circuit) => {
    const own = readings.filter((one) => sameCircuit(one, circuit));
    const read = own.findLast((one) => isResting(one) && one.point === lastPoint(circuit));
    const pressed = own.findLast((one) => !isResting(one));
    const verdict = walk.circuits.find((one) => sameCircuit(one, circuit))?.verdict;
    const state =
      verdict === undefined
        ? "not read"
        : verdict !== "sound"
          ? verdictNames[verdict]
          : pressed === undefined
            ? "reads sound, not pressed"
            : "reads sound, pressed";
    return [
      laneCell(circuit),
      deviceCell(circuit),
      read === undefined ? "" : voltsText(read.volts),
      read === undefined ? "" : said(read),
      pressed === undefined ? "not pressed" : `${voltsText(pressed.volts)}, ${said(pressed)}`,
      state,
    ];
  });
  const heads = ["lane", "device", "volts", "read", "pressed", "state"];
  const row = (cells: readonly string[], tag: "td" | "th"): string =>
    `<tr>${cells.map((cell) => `<${tag}>${escapeHtml(cell)}</${tag}>`).join("")}</tr>`;
  const meters = [...new Set(readings.map(({ meter }) => meter))];
  const blanks = [
    ...meters.map((meter) => `Meter ${meter}, last calibrated on`),
    "Read by (name, signature)",
    "Referee (name, signature, time)",
  ];
  const title = `${pool.name}: readings of walk ${walk.walk}`;
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>${escapeHtml(title)}</title>
<style>body{font:11pt system-ui,sans-serif;margin:1.5cm}table{border-collapse:collapse;width:100%}
th,td{border:1px solid #555;padding:.2em .4em;text-align:left}.blank{margin-top:1.4em;border-bottom:1px solid #000}</style></head>
<body><h1>${escapeHtml(title)}</h1>
<table><thead>${row(heads, "th")}</thead><tbody>${rows.map((one) => row(one, "td")).join("\n")}</tbody></table>
${blanks.map((one) => `<p class="blank">${escapeHtml(one)}:</p>`).join("\n")}
<p>This sheet says what was read and pressed. It certifies nothing: what a competition needs is for its officials to say.</p>
</body></html>
`;
}
