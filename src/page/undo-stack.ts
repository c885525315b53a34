import type { Reading } from "../domain/reading.ts";
import { type Action, type Actions, actionsOf, keepActions } from "./actions.ts";
import { freshId, type LedgerRow } from "./ledger.ts";

/** The same reading once more, under an id of its own: a strike is for ever. */
const renewed = (row: LedgerRow): LedgerRow => ({ ...row, id: freshId() });

/** Undo never reaches into an earlier walk, nor for what is struck out by now. */
function isOfWalk({ came, went }: Action, here: readonly Reading[]): boolean {
  if (came.length > 0) return came.every(({ id }) => here.some((one) => one.id === id));
  const begun = here[0]?.takenAt?.day ?? "";
  return went.every(({ taken_at }) => taken_at !== "" && taken_at.slice(0, 10) >= begun);
}

/** What this tab did to one pool's ledger, and how it is taken back and done again. */
export class UndoStack {
  readonly #pool: string;
  #actions: Actions;
  /** A step is on its way to disk: a second tap on its button takes no second step. */
  #stepping = false;

  constructor(pool: string) {
    this.#pool = pool;
    this.#actions = actionsOf(pool);
  }

  /** What undo would take up among these readings of the walk in hand; null where nothing. */
  undoable(here: readonly Reading[]): Action | null {
    if (this.#stepping) return null;
    const action = this.#actions.done.at(-1);
    return action !== undefined && isOfWalk(action, here) ? action : null;
  }

  redoable(here: readonly Reading[]): Action | null {
    if (this.#stepping) return null;
    const action = this.#actions.undone.at(-1);
    if (action === undefined) return null;
    // Seen the other way round: what it would take away must stand, what it brings need not.
    return isOfWalk({ came: action.went, went: action.came }, here) ? action : null;
  }

  did(action: Action): void {
    this.#keep({ done: [...this.#actions.done, action], undone: [] });
  }

  /** Has the last action taken back by `append`, which resolves once that is on disk. */
  async undo(action: Action, append: (back: Action) => Promise<void>): Promise<void> {
    const { done, undone } = this.#actions;
    const back = { came: action.went.map(renewed), went: action.came };
    await this.#step(() => append(back));
    const again = { came: back.went, went: back.came };
    this.#keep({ done: done.slice(0, -1), undone: [...undone, again] });
  }

  async redo(action: Action, append: (again: Action) => Promise<void>): Promise<void> {
    const { done, undone } = this.#actions;
    const again = { came: action.came.map(renewed), went: action.went };
    await this.#step(() => append(again));
    this.#keep({ done: [...done, again], undone: undone.slice(0, -1) });
  }

  async #step(take: () => Promise<void>): Promise<void> {
    this.#stepping = true;
    try {
      await take();
    } finally {
      this.#stepping = false;
    }
  }

  #keep(actions: Actions): void {
    this.#actions = actions;
    keepActions(this.#pool, actions);
  }
}
