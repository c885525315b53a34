import type { Estimate } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { keepLeftOut, type LeftOut, leftOutOf } from "./draft.ts";
import { nextAtOnce, type Spot, sameSpot } from "./proposals.ts";

/** So long a place may still be exchanged for a better one after it was shown [ms]. */
const settling = 1500;

/** The place to read next, as far as the user chose it or it followed at once. */
export class PlaceInHand {
  /** The place that stands, whatever is proposed: the user chose it, or is writing its value down. */
  chosen: Spot | null = null;
  chosenBy: "tap" | "typing" = "tap";
  /** Shown at once, before anything is worked out. */
  atOnce: Spot | null = null;
  #since = 0;
  #leftOut: LeftOut | null = null;

  /** Places that nobody can get at in this walk. */
  get unreachable(): readonly Spot[] {
    return this.#leftOut?.spots ?? [];
  }

  choose(place: Spot | null, by: "tap" | "typing" = "tap"): void {
    [this.chosen, this.chosenBy] = [place, by];
  }

  /** Another pool is in hand. */
  forget(): void {
    [this.chosen, this.#leftOut] = [null, null];
  }

  /**
   * The walk that goes on, null where the next reading begins one. What was left out stays so until it
   * is over, over a reload too; in another walk it may be within reach.
   */
  within(pool: string, walk: string | null): void {
    const known = this.#leftOut ?? leftOutOf(pool);
    const goesOn = known !== null && (known.walk === walk || known.walk === null);
    this.#keepOut({ pool, walk, spots: goesOn ? known.spots : [] });
  }

  leaveOut(spot: Spot): void {
    if (this.#leftOut !== null)
      this.#keepOut({ ...this.#leftOut, spots: [...this.unreachable, spot] });
    this.chosen = null;
  }

  #keepOut(leftOut: LeftOut): void {
    this.#leftOut = leftOut;
    keepLeftOut(leftOut);
  }

  isOut(spot: Spot): boolean {
    return this.unreachable.some((one) => sameSpot(one, spot));
  }

  /** What follows at once on a change. */
  propose(pool: Pool, readings: readonly Reading[], emf: Estimate | undefined): void {
    this.atOnce = nextAtOnce(pool, readings, (one) => this.isOut(one), emf);
    this.#since = performance.now();
  }

  /** Something better is known: it takes the place's stead, unless somebody may be on the way there. */
  yield(): void {
    if (this.atOnce === null || performance.now() - this.#since < settling) this.drop();
  }

  drop(): void {
    this.atOnce = null;
  }
}
