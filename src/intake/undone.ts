/** What a line of the work log that takes back an earlier one has as its action. */
export const undoneAction = "undone";

/** The fields by which an `undone` line names the line that it takes back. */
export interface LoggedLine {
  readonly done_at: string;
  readonly lane: string;
  readonly device: string;
  readonly point: string;
  readonly action: string;
}

/**
 * The lines of a work log that still stand, in their order.
 *
 * The log is only ever appended to. `dropwise undo` therefore appends a line with the action
 * `undone` and the same moment, lane, device and point as the line that it takes back; such a line
 * takes back the nearest earlier one that still stands, and one that finds none does nothing. So
 * the file tells what happened, and every program that reads it through here counts only what did.
 */
export function standing<Line extends LoggedLine>(lines: readonly Line[]): Line[] {
  const stands: (Line | null)[] = [];
  const open = new Map<string, number[]>();
  for (const line of lines) {
    const key = JSON.stringify([line.done_at, line.lane, line.device, line.point]);
    const earlier = open.get(key) ?? [];
    if (line.action.toLowerCase() === undoneAction) {
      const last = earlier.pop();
      if (last !== undefined) stands[last] = null;
    } else {
      open.set(key, [...earlier, stands.length]);
      stands.push(line);
    }
  }
  return stands.filter((line) => line !== null);
}
