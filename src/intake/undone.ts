/** What a line of the work log that takes back an earlier one has as its action. */
export const undoneAction = "undone";

/** The cells by which an `undone` line names the line that it takes back. */
interface LoggedLine {
  readonly cells: Readonly<Record<"done_at" | "lane" | "device" | "point" | "action", string>> & {
    readonly end?: string;
  };
  /** What is wrong with it as a row: a line that is broken takes nothing back. */
  readonly broken: readonly unknown[];
}

/**
 * The lines of a work log that still stand, in their order, and the `undone` lines that found
 * nothing to take back.
 *
 * The log is only ever appended to. `dropwise undo` therefore appends a line with the action
 * `undone` and the same moment, lane, device and point as the line that it takes back; such a line
 * takes back the nearest earlier one that still stands. So the file tells what happened, and every
 * program that reads it through here counts only what did.
 */
export function standing<Line extends LoggedLine>(
  lines: readonly Line[],
): { readonly stands: readonly Line[]; readonly lost: readonly Line[] } {
  const stands: (Line | null)[] = [];
  const lost: Line[] = [];
  const open = new Map<string, number[]>();
  for (const line of lines) {
    const { done_at, lane, device, end = "", point, action } = line.cells;
    const key = JSON.stringify([done_at, lane, device, end, point]);
    const earlier = open.get(key) ?? [];
    if (action.toLowerCase() === undoneAction) {
      const last = line.broken.length > 0 ? undefined : earlier.pop();
      if (last !== undefined) stands[last] = null;
      else lost.push(line);
    } else {
      open.set(key, earlier);
      if (line.broken.length === 0) earlier.push(stands.length);
      stands.push(line);
    }
  }
  return { stands: stands.filter((line) => line !== null), lost };
}
