import type {
  Block,
  Document,
  DrawnFigure,
  Figure,
  Line,
  Pictures,
  Run,
  Table,
} from "./document.ts";
import { escapeHtml, escapeJson } from "./escape-html.ts";
import { htmlStyle } from "./html-style.ts";

/** Scripts that make the charts of a page live; the text of each, ready to stand in the page. */
export interface ChartRuntime {
  /** The chart engine, a classic script that sets the global `vega`. */
  readonly engine: string;
  /** A classic script that sets the global `expressionInterpreter`: expressions without eval. */
  readonly interpreter: string;
  /** The licences of the code in both, which have to travel with it. */
  readonly notices: string;
}

const run = (one: Run): string => {
  if (typeof one === "string") return escapeHtml(one);
  if ("strong" in one) return `<strong>${escapeHtml(one.strong)}</strong>`;
  return `<span class="blank">${escapeHtml(one.blank)}</span>`;
};

const line = (runs: Line): string => runs.map(run).join("");

/** Base64 of a text's UTF-8 bytes, in slices that fit an argument list. */
function base64(text: string): string {
  const bytes = new TextEncoder().encode(text);
  let binary = "";
  for (let at = 0; at < bytes.length; at += 8192)
    binary += String.fromCharCode(...bytes.subarray(at, at + 8192));
  return btoa(binary);
}

function tableHtml(block: Table): string {
  const cell = (tag: string, index: number, content: string): string =>
    block.columns[index]?.align === "right"
      ? `<${tag} class="right">${content}</${tag}>`
      : `<${tag}>${content}</${tag}>`;
  const head = block.columns.map((one, index) => cell("th", index, escapeHtml(one.title))).join("");
  const rows = block.rows
    .map((cells) => `<tr>${cells.map((one, index) => cell("td", index, line(one))).join("")}</tr>`)
    .join("\n");
  return `<table><caption>${escapeHtml(block.caption)}</caption><thead><tr>${head}</tr></thead><tbody>\n${rows}\n</tbody></table>`;
}

function figureHtml(block: Figure, picture: DrawnFigure, live: boolean): string {
  const { name, alt } = block.chart;
  const slot = live ? `<div class="live" id="live-${name}"></div>` : "";
  const still = `<img class="still" id="still-${name}" alt="${escapeHtml(alt)}" width="${Math.round(picture.width * block.share)}" src="data:image/svg+xml;base64,${base64(picture.svg)}">`;
  return `<figure>${slot}${still}<figcaption>${escapeHtml(block.caption)}</figcaption></figure>`;
}

function blockHtml(block: Block, pictures: Pictures, live: boolean): string {
  switch (block.kind) {
    case "heading":
      return `<h${block.level}>${escapeHtml(block.text)}</h${block.level}>`;
    case "paragraph":
      return `<p>${line(block.line)}</p>`;
    case "verdict":
      return `<p class="verdict">${line(block.line)}</p>`;
    case "list": {
      const tag = block.ordered ? "ol" : "ul";
      return `<${tag}>${block.items.map((item) => `<li>${line(item)}</li>`).join("")}</${tag}>`;
    }
    case "fields":
      return `<dl>${block.rows
        .map(([name, value]) => `<dt>${escapeHtml(name)}</dt><dd>${line(value)}</dd>`)
        .join("")}</dl>`;
    case "caution":
      return `<div class="caution" role="note">${block.items
        .map((item) => `<p><strong>Caution.</strong> ${escapeHtml(item)}</p>`)
        .join("")}</div>`;
    case "table":
      return tableHtml(block);
    case "figure": {
      const picture = pictures.get(block.chart.name);
      if (picture === undefined) throw new Error(`no picture of ${block.chart.name}`);
      return figureHtml(block, picture, live);
    }
    case "page-break":
      return `<hr class="page-break">`;
  }
}

/**
 * Runs in the page. A chart that comes up replaces its still picture on the screen; paper, and a
 * page whose scripts do not run, keep the still one.
 */
const starter = `
const tip = document.getElementById("tip");
function showTip(_handler, event, _item, value) {
  if (value == null || value === "") { tip.style.display = "none"; return; }
  tip.textContent = typeof value === "object"
    ? Object.entries(value).map(([key, text]) => key + ": " + text).join("\\n") : String(value);
  tip.style.display = "block";
  tip.style.left = event.pageX + 12 + "px";
  tip.style.top = event.pageY + 12 + "px";
}
for (const data of document.querySelectorAll("script[data-chart]")) {
  const name = data.dataset.chart;
  const slot = document.getElementById("live-" + name);
  const view = new vega.View(vega.parse(JSON.parse(data.textContent), undefined, { ast: true }), {
    expr: expressionInterpreter, renderer: "svg", container: slot, hover: true, tooltip: showTip,
  });
  view.runAsync().then(() => {
    document.getElementById("still-" + name).style.display = "none";
    slot.dataset.ready = "yes";
  }, () => slot.remove());
}
`;

/** Text of a script that cannot end its own element. */
const scriptText = (text: string): string => text.replaceAll("</script", "<\\/script");

async function hash(text: string): Promise<string> {
  const digest = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(text));
  return `'sha256-${btoa(String.fromCharCode(...new Uint8Array(digest)))}'`;
}

/** A chart's specification, in the page for its scripts. */
function chartData({ chart: { name } }: Figure, pictures: Pictures): string {
  const live = pictures.get(name)?.live;
  if (live === undefined) throw new Error(`${name} was not drawn to be live`);
  return `<script type="application/json" data-chart="${name}">${escapeJson(live)}</script>`;
}

/** Scripts of the page with the policy's names for them. */
async function scripts(document: Document, pictures: Pictures, runtime: ChartRuntime | null) {
  if (runtime === null) return { policy: "'none'", html: "" };
  const texts = [runtime.engine, runtime.interpreter, starter].map(scriptText);
  const hashes = await Promise.all(texts.map(hash));
  const data = document.blocks.flatMap((block) =>
    block.kind === "figure" ? [chartData(block, pictures)] : [],
  );
  const notices = `<script type="text/plain" data-licences>${scriptText(runtime.notices)}</script>`;
  const html = [...data, notices, ...texts.map((text) => `<script>${text}</script>`)].join("\n");
  return { policy: hashes.join(" "), html };
}

/**
 * One HTML file that needs nothing beside it and no network. Its content security policy allows the
 * scripts written here, by their hashes, and nothing else: no eval, no request.
 *
 * @param runtime null: still pictures only
 */
export async function writeHtml(
  document: Document,
  pictures: Pictures,
  runtime: ChartRuntime | null,
): Promise<string> {
  const { policy, html } = await scripts(document, pictures, runtime);
  const letterhead =
    document.letterhead.length === 0
      ? ""
      : `<header class="letterhead">${document.letterhead.map((one) => `<div>${line(one)}</div>`).join("")}</header>`;
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; script-src ${policy}; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escapeHtml(document.title)}</title>
<style>${htmlStyle}</style>
</head>
<body>
${letterhead}
<main>
<h1>${escapeHtml(document.title)}</h1>
${document.blocks.map((block) => blockHtml(block, pictures, runtime !== null)).join("\n")}
</main>
<div id="tip" role="status"></div>
${html}
</body>
</html>
`;
}
