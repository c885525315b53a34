import { escapeHtml } from "../../report/escape-html.ts";
import { type Exported, namedIn } from "./exported.ts";
import { type Entry, errorsSaid, sourceSaid } from "./gaps.ts";
import { referenceStyle } from "./style.ts";
import { isNumber, measureOf } from "./units.ts";

/** A page's name in its folder: `dropwise/circuit` is circuit.html, the whole package's verbs verbs.html. */
export const pageOf = ({ name }: Pick<Entry, "name">): string =>
  `${name.split("/")[1] ?? "verbs"}.html`;

/** Where a name stands: on which page. */
type Places = ReadonlyMap<string, string>;

/** Code with its known names as links. */
const linked = (code: string, places: Places): string =>
  code
    .split(/\b([A-Za-z_]\w*)\b/)
    .map((piece, i) => {
      const page = i % 2 === 1 && /^[A-Z]/.test(piece) ? places.get(piece) : undefined;
      return page === undefined ? escapeHtml(piece) : `<a href="${page}#${piece}">${piece}</a>`;
    })
    .join("");

const inline = (text: string): string =>
  escapeHtml(text)
    .replaceAll(/`([^`]+)`/g, "<code>$1</code>")
    .replaceAll(/\*\*([^*]+)\*\*/g, "<b>$1</b>");

/** Paragraphs; what is indented, or would lose its shape, as it stands. */
const prose = (text: string): string =>
  text
    .split(/\n{2,}/)
    .filter((block) => block.trim() !== "")
    .map((block) =>
      /^(?: {4}|\|)/m.test(block)
        ? `<pre>${escapeHtml(block.replaceAll(/^ {4}/gm, ""))}</pre>`
        : `<p>${inline(block.replaceAll("\n", " "))}</p>`,
    )
    .join("\n");

interface Sections {
  readonly text: string;
  readonly example: string;
}

function sections(doc: string): Sections {
  const [before = "", example = ""] = doc.split(/^@example\n/m);
  return { text: before.replaceAll(/^@param[\s\S]*?(?=\n@|$(?![\s\S]))/gm, "").trim(), example };
}

/** Parameters or members, with unit and range of each number. */
function table(one: Exported, places: Places): string {
  if (one.parts.length === 0) return "";
  const rows = one.parts.map((part) => {
    const measure = isNumber(part) ? measureOf(part, one) : null;
    const doc = part.doc.replaceAll(/\s*\[[^\]]+\](?=[.;,]|$)/g, "");
    const cells = [
      `<code>${part.name}${part.isOptional ? "?" : ""}</code>`,
      `<code>${linked(part.type.replaceAll(/\/\*\*[\s\S]*?\*\/\s*/g, ""), places)}</code>`,
      measure === null ? "" : escapeHtml(measure.unit),
      measure === null ? "" : escapeHtml(measure.range),
      inline(doc.replaceAll("\n", " ")),
    ];
    return `<tr>${cells.map((cell) => `<td>${cell}</td>`).join("")}</tr>`;
  });
  const heads = ["name", "type", "unit", "range", "meaning"].map((head) => `<th>${head}</th>`);
  return `<div class="wide"><table><thead><tr>${heads.join("")}</tr></thead><tbody>${rows.join("\n")}</tbody></table></div>`;
}

function article(one: Exported, entry: Entry, places: Places, isBorrowed = false): string {
  const { text, example } = sections(one.doc);
  const source = sourceSaid(one, entry);
  const errors = one.kind === "function" ? errorsSaid(one) : null;
  const back =
    one.returns === "" ? "" : `<dt>gives</dt><dd><code>${linked(one.returns, places)}</code></dd>`;
  return [
    `<section id="${one.name}"><h2><a href="#${one.name}">${one.name}</a> <small>${one.kind}</small></h2>`,
    `<pre>${linked(one.signature, places)}</pre>`,
    prose(text),
    table(one, places),
    example === "" ? "" : `<pre class="example">${escapeHtml(example.trim())}</pre>`,
    isBorrowed
      ? ""
      : `<dl>${back}${errors === null ? "" : `<dt>errors</dt><dd>${inline(errors)}</dd>`}${source === null ? "" : `<dt>source</dt><dd>${inline(source.replace(/^Sources?: /, ""))}</dd>`}</dl>`,
    "</section>",
  ].join("\n");
}

/** Types that these name and no entry exports: shown all the same, after them. */
function borrowed(entry: Entry, known: ReadonlySet<string>): readonly Exported[] {
  const found = new Map<string, Exported>();
  const look = (one: Exported): void => {
    const text = [one.signature, one.returns, ...one.parts.map(({ type }) => type)].join(" ");
    for (const [name] of text.matchAll(/\b[A-Z]\w+\b/g)) {
      if (known.has(name) || found.has(name)) continue;
      const other = namedIn(one.file, name);
      if (other === null || other.kind !== "type") continue;
      found.set(name, other);
      look(other);
    }
  };
  for (const one of entry.exported) look(one);
  return [...found.values()];
}

const frame = (title: string, body: string, entries: readonly Entry[]): string =>
  `<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>${escapeHtml(title)}</title><style>${referenceStyle}</style></head><body>
<nav><a href="index.html">Dropwise</a> ${entries.map((one) => `<a href="${pageOf(one)}">${one.name}</a>`).join(" ")}</nav>
<main><h1>${escapeHtml(title)}</h1>
${body}
</main></body></html>
`;

const kinds = ["function", "class", "value", "type"] as const;

/** Functions first, then what they take and give. */
const ordered = (all: readonly Exported[]): readonly Exported[] =>
  all.toSorted((a, b) => kinds.indexOf(a.kind) - kinds.indexOf(b.kind));

function entryPage(entry: Entry, entries: readonly Entry[], all: Places): string {
  const own = ordered(entry.exported);
  const more = borrowed(entry, new Set(all.keys()));
  const places = new Map([...all, ...[...own, ...more].map((one) => [one.name, ""] as const)]);
  const list = (which: readonly Exported[]): string =>
    `<p class="names">${which.map(({ name }) => `<a href="#${name}">${name}</a>`).join(" ")}</p>`;
  const others = more.map((one) => article(one, entry, places, true)).join("\n");
  return frame(
    entry.name,
    [
      prose(entry.doc.replace(/^`[^`]+`: /, "")),
      list(own),
      own.map((one) => article(one, entry, places)).join("\n"),
      more.length === 0 ? "" : `<h1>Types that these name</h1>${list(more)}${others}`,
    ].join("\n"),
    entries,
  );
}

/** First sentence of a comment. */
const brief = (doc: string): string =>
  /^[\s\S]+?[.;:](?=\s|$)/.exec(sections(doc).text)?.[0]?.replaceAll("\n", " ") ?? "";

function indexPage(entries: readonly Entry[]): string {
  const about = entries.map((entry) => {
    const rows = ordered(entry.exported).map(
      (one) =>
        `<tr><td><a href="${pageOf(entry)}#${one.name}">${one.name}</a></td><td>${inline(brief(one.doc))}</td></tr>`,
    );
    return `<h2><a href="${pageOf(entry)}">${entry.name}</a></h2><table>${rows.join("\n")}</table>`;
  });
  const how = `Every export of the package, from its doc comments. A number without a unit in its
name has it in its table: V, Ω, s, weeks; P is a probability. Errors of data are values; wrong code throws.`;
  return frame("Dropwise, the reference", `<p>${how}</p>\n${about.join("\n")}`, entries);
}

/** The whole reference: page name and text. */
export function referencePages(entries: readonly Entry[]): ReadonlyMap<string, string> {
  const places = new Map(
    entries.toReversed().flatMap((entry) => entry.exported.map((one) => [one.name, pageOf(entry)])),
  );
  return new Map([
    ["index.html", indexPage(entries)],
    ...entries.map((entry) => [pageOf(entry), entryPage(entry, entries, places)] as const),
  ]);
}
