import { wrapped } from "../report/wrap-text.ts";

/** A line that begins something of its own: an example, a heading, a table's row. */
const standsAlone = (line: string): boolean =>
  line === "" || /^\s*\$ /.test(line) || / {3}\S/.test(line);

const marginOf = (line: string): string => /^ */.exec(line)![0];

/**
 * A help text's paragraphs, filled anew to a terminal's width: what stands in the source in lines of
 * the source's length is one sentence after the other to a reader.
 */
export function helpText(text: string): string {
  const filled: string[] = [];
  let isOpen = false;
  for (const line of text.split("\n")) {
    const last = filled.at(-1);
    const joins = isOpen && last !== undefined && marginOf(last) === marginOf(line);
    if (joins && !standsAlone(line)) filled[filled.length - 1] = `${last} ${line.trim()}`;
    else filled.push(line);
    isOpen = !standsAlone(line);
  }
  return filled.flatMap((line) => wrapped(line, marginOf(line).length)).join("\n");
}
