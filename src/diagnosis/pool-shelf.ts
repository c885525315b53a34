import type { Pool } from "../domain/pool.ts";
import { emptyShelf, type Shelf } from "../inference/chain/circuit-model.ts";

/** Where a pool's meshes and kernels are kept for its next walk: a memo, never part of the answer. */
const shelves = new WeakMap<Pool, Shelf>();
/** The resistance that the axis of a mesh is folded at, where no load is known [Ω]. */
const USUAL_LOAD = 1000;
/** Contacts are of ohms to kilohms: an axis folded further out would put them all in one panel [Ω]. */
const LARGEST_SCALE = 2000;

export function shelfOf(pool: Pool): Shelf {
  const known = shelves.get(pool);
  if (known !== undefined) return known;
  const made = emptyShelf(Math.min(pool.meters[0]?.loadOhms ?? USUAL_LOAD, LARGEST_SCALE));
  shelves.set(pool, made);
  return made;
}
