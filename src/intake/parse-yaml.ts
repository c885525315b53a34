import { type Document, isAlias, isNode, isScalar, LineCounter, parseDocument, visit } from "yaml";
import { fault, type InputFault, ok, type Result } from "../domain/result.ts";

/** Longest file that is read [characters]. */
const longestFile = 5_000_000;

/** How often a YAML anchor may be used before it counts as a bomb. */
const mostAliases = 50;

/** Deepest nesting that is read: where the parser runs out of stack it may take the process with it. */
const deepest = 100;

/** List and key marks one behind the other, each a level of its own; or a margin as wide as no file's. */
const deepLine = new RegExp(`^ *(?:[-?][ \\t]+){${deepest}}|^ {${4 * deepest}} *\\S`, "m");

/** Does a text nest deeper than any file? What stands in quotation marks counts: nobody writes so many. */
function isTooDeep(text: string): boolean {
  let depth = 0;
  for (const [mark] of text.matchAll(/[[\]{}]/g)) {
    depth = Math.max(0, depth + (mark === "[" || mark === "{" ? 1 : -1));
    if (depth > deepest) return true;
  }
  return deepLine.test(text);
}

/** What kind of file is read, for the words of its faults. */
export interface FileKind {
  /** `pool file` */
  readonly name: string;
  /** What one holds: `at least pool, lanes and devices`. */
  readonly least: string;
}

/** Where something that is no text stands as a key, a list, a mapping or bytes [offset]; null where none does. */
function oddKeyAt(document: Document): number | null {
  let at: number | null = null;
  visit(document, {
    Pair(_, { key }) {
      const meant = isAlias(key) ? key.resolve(document) : key;
      // A scalar with a tag may stand for bytes or a set, which are no key either.
      const value = isScalar(meant) ? meant.value : meant;
      if (typeof value !== "object" || value === null) return undefined;
      at = (isNode(key) ? key.range?.[0] : null) ?? 0;
      return visit.BREAK;
    },
  });
  return at;
}

/** YAML (JSON is a subset of it) to plain values; a byte-order mark is no part of the text. */
export function parseYaml(
  marked: string,
  file: string,
  kind: FileKind,
): Result<unknown, readonly InputFault[]> {
  const text = marked.replace(/^\uFEFF/, "");
  const one = (message: string, place = "") => fault([{ file, place, message }]);
  if (text.length > longestFile) return one(`is over 5 MB, which no ${kind.name} is`);
  if (text.includes("\0")) return one(`is not text, so it can't be a ${kind.name}`);
  if (text.trim() === "") return one(`is empty; a ${kind.name} has ${kind.least}`);
  if (isTooDeep(text)) return one("is nested too deep");
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines, prettyErrors: false });
  const [error] = document.errors;
  if (error !== undefined) {
    const { line, col } = lines.linePos(error.pos[0]);
    const message = `is not YAML: ${error.message.replaceAll(/\s+/g, " ")}`;
    return one(message, `line ${line}, column ${col}`);
  }
  const odd = oddKeyAt(document);
  if (odd !== null) {
    const { line, col } = lines.linePos(odd);
    return one("has a list, a mapping or bytes where a key stands", `line ${line}, column ${col}`);
  }
  try {
    return ok(document.toJS({ maxAliasCount: mostAliases }));
  } catch (thrown) {
    // toJS throws a ReferenceError for an alias bomb or a dangling alias, and nothing else.
    if (!(thrown instanceof ReferenceError)) throw thrown;
    return one(`is not usable YAML: ${thrown.message}`);
  }
}
