/**
 * Headings that can be keys: a blank one is named by its place, a second one by its count. Takes
 * time in proportion to their number, however often one repeats.
 */
export function uniqueNames(header: readonly string[]): string[] {
  const used = new Set<string>();
  const next = new Map<string, number>();
  return header.map((text, index) => {
    const plain = text.normalize("NFKC").trim() || `column ${index + 1}`;
    let count = next.get(plain) ?? 1;
    let name = count === 1 ? plain : `${plain} (${count})`;
    while (used.has(name)) name = `${plain} (${++count})`;
    next.set(plain, count + 1);
    used.add(name);
    return name;
  });
}

/** Columns whose blank cells behind a row's end are still written out with it. */
const alwaysShown = 100;

/**
 * A row's cells under its sheet's headings, the program's own columns `reason` and `extra` left out;
 * `extra` is what stood behind the last column. Blanks behind the row's end are left out where a
 * sheet has more columns than anybody reads: a million headings above short rows cost nothing.
 */
export function fieldsUnder(
  names: readonly string[],
  cells: readonly string[],
  extra: string,
  leftOut: ReadonlySet<number | undefined>,
): Record<string, string> {
  const last = Math.min(names.length, Math.max(cells.length, alwaysShown));
  const fields: [string, string][] = [];
  for (let i = 0; i < last; i++) if (!leftOut.has(i)) fields.push([names[i]!, cells[i] ?? ""]);
  if (extra !== "") fields.push(["extra", extra]);
  return Object.fromEntries(fields);
}
