import { createHash } from "node:crypto";
import { readFileSync, statSync } from "node:fs";
import { parse as parseCsv } from "csv-parse/sync";
import { unzipSync } from "fflate";
import { parse as parseHtml } from "parse5";
import { SaxesParser } from "saxes";
import { askOnce, type Keeper, noKeeper, type Question } from "../../rooms/season-room.ts";

/** Larger files are made of pieces that were checked one by one, and are not read back [bytes]. */
const largestRead = 50_000_000;

const utf8 = new TextDecoder("utf-8", { fatal: true });

/** Is it XML 1.0? Throws where it is not: an unclosed element, a character that XML forbids. */
function checkXml(text: string): void {
  const parser = new SaxesParser();
  parser.on("error", (error) => {
    throw error;
  });
  parser.write(text).close();
}

/** The HTML standard's parse errors, of which a document of ours has none. */
function checkHtml(text: string): void {
  parseHtml(text, {
    sourceCodeLocationInfo: true,
    onParseError: ({ code, startLine, startCol }) => {
      throw new Error(`${code} at line ${startLine}, column ${startCol}`);
    },
  });
}

/** A Word document: a zip archive whose parts are XML. */
function checkDocx(bytes: Uint8Array): void {
  const parts = unzipSync(bytes);
  if (parts["word/document.xml"] === undefined) throw new Error("no word/document.xml");
  for (const [name, part] of Object.entries(parts))
    if (/\.(xml|rels|svg)$/.test(name)) checkXml(utf8.decode(part));
}

const checks: Readonly<Record<string, (bytes: Uint8Array) => void>> = {
  json: (bytes) => void JSON.parse(utf8.decode(bytes)),
  csv: (bytes) => void parseCsv(utf8.decode(bytes)),
  svg: (bytes) => checkXml(utf8.decode(bytes)),
  html: (bytes) => checkHtml(utf8.decode(bytes)),
  docx: checkDocx,
  md: (bytes) => void utf8.decode(bytes),
  txt: (bytes) => void utf8.decode(bytes),
  yaml: (bytes) => void utf8.decode(bytes),
};

/**
 * What is wrong with a file that is about to be given its name, null where it is what its ending
 * says. Read back from the disk: JSON by its parser, CSV by RFC 4180 with as many cells in each row,
 * SVG and the parts of a Word file as XML 1.0, HTML without one of the standard's parse errors. Bytes that
 * were found to be so before are so.
 */
export function faultOf(path: string, name: string, keeper: Keeper = noKeeper): string | null {
  const ending = name.slice(name.lastIndexOf(".") + 1).toLowerCase();
  const check = Object.hasOwn(checks, ending) ? checks[ending]! : null;
  if (check === null || statSync(path).size > largestRead) return null;
  try {
    const bytes = readFileSync(path);
    const digest = createHash("sha256").update(bytes).digest("hex");
    const question: Question = { what: "well-formed", walk: null, from: [ending, digest] };
    askOnce(keeper, question, () => {
      check(bytes);
      return true;
    });
    return null;
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    return `came out as no valid .${ending}: ${why.slice(0, 200)}`;
  }
}
