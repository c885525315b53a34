import type { Spot } from "./proposals.ts";

/** What is half done in this tab: it outlives a reload, and a browser that goes away for a call. */
export interface Draft {
  readonly pool: string;
  readonly spot: Spot;
  readonly typed: string;
}

const key = "dropwise-draft";

export function draftOf(pool: string): Draft | null {
  try {
    const draft = JSON.parse(sessionStorage.getItem(key) ?? "null") as Draft | null;
    return draft?.pool === pool ? draft : null;
  } catch {
    return null;
  }
}

export function keepDraft(draft: Draft | null): void {
  try {
    if (draft === null) sessionStorage.removeItem(key);
    else sessionStorage.setItem(key, JSON.stringify(draft));
  } catch {
    // Then a reload forgets what is half typed; what was stored stays.
  }
}
