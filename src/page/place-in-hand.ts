import type { Estimate } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
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
  /** Places that nobody can get at in this walk. */
  unreachable: readonly Spot[] = [];

  choose(place: Spot | null, by: "tap" | "typing" = "tap"): void {
    [this.chosen, this.chosenBy] = [place, by];
  }

  /** Another pool is in hand. */
  forget(): void {
    [this.chosen, this.unreachable] = [null, []];
  }

  /** Another walk begins: what could not be reached may be now. */
  anew(): void {
    this.unreachable = [];
  }

  leaveOut(spot: Spot): void {
    this.unreachable = [...this.unreachable, spot];
    this.chosen = null;
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
