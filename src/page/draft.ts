import type { Spot } from "./proposals.ts";

/** What is half done in this tab: it outlives a reload, and a browser that goes away for a call. */
export interface Draft {
  readonly pool: string;
  readonly spot: Spot;
  readonly typed: string;
}

/** What nobody could get at in a walk, null being one that no reading has begun yet. */
export interface LeftOut {
  readonly pool: string;
  readonly walk: string | null;
  readonly spots: readonly Spot[];
}

const draftKey = "dropwise-draft";
const leftOutKey = "dropwise-left-out";

function kept<T extends { readonly pool: string }>(key: string, pool: string): T | null {
  try {
    const one = JSON.parse(sessionStorage.getItem(key) ?? "null") as T | null;
    return one?.pool === pool ? one : null;
  } catch {
    return null;
  }
}

function keep(key: string, one: Draft | LeftOut | null): void {
  try {
    if (one === null) sessionStorage.removeItem(key);
    else sessionStorage.setItem(key, JSON.stringify(one));
  } catch {
    // Then a reload forgets what is half done; what was stored stays.
  }
}

export const draftOf = (pool: string): Draft | null => kept(draftKey, pool);
export const keepDraft = (draft: Draft | null): void => keep(draftKey, draft);

export const leftOutOf = (pool: string): LeftOut | null => kept(leftOutKey, pool);
export const keepLeftOut = (leftOut: LeftOut): void => keep(leftOutKey, leftOut);
