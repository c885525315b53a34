import { rowPlace } from "../report/log-text.ts";
import type { LedgerRow } from "./ledger.ts";

/**
 * What was done in this tab, so that it can be undone and done again. It is the tab's own and outlives
 * a reload; what another tab or phone did is nothing to undo here.
 */

/** Readings that came and readings that went: an entry, a strike, or a correction, which is both. */
export interface Action {
  readonly came: readonly LedgerRow[];
  readonly went: readonly LedgerRow[];
}

export interface Actions {
  readonly done: readonly Action[];
  readonly undone: readonly Action[];
}

const none: Actions = { done: [], undone: [] };

/** So many steps back are kept. */
const mostSteps = 50;

const keyOf = (pool: string): string => `dropwise-actions-${pool}`;

export function actionsOf(pool: string): Actions {
  try {
    const text = sessionStorage.getItem(keyOf(pool));
    return text === null ? none : (JSON.parse(text) as Actions);
  } catch {
    return none;
  }
}

export function keepActions(pool: string, actions: Actions): void {
  try {
    sessionStorage.setItem(
      keyOf(pool),
      JSON.stringify({ done: actions.done.slice(-mostSteps), undone: actions.undone }),
    );
  } catch {
    // Undo then reaches back no further than this page's own life.
  }
}

/** The value that an action is about: `4.98`. */
export const actionValue = ({ came, went }: Action): string => (came[0] ?? went[0])?.volts ?? "";

/** What an action is called in full: `4.98 V, lane 3 touchpad pod`. */
export function actionWords({ came, went }: Action): string {
  const [new_, old] = [came[0], went[0]];
  const one = new_ ?? old;
  if (one === undefined) return "";
  const place = rowPlace(one);
  if (new_ !== undefined && old !== undefined) return `${old.volts} to ${new_.volts} V, ${place}`;
  return `${new_ === undefined ? "strike out " : ""}${one.volts} V, ${place}`;
}
