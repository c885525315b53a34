import { ohms } from "../domain/units.ts";
import type { Mesh } from "./chain/mesh.ts";
import {
  type BehindLeak,
  type ChainBehind,
  type LeakSource,
  valueBehind,
} from "./conducting/behind-leak.ts";

/** Where a path stands in front of a leak [Ω], and the probability of it. */
export interface Start {
  readonly t: number;
  readonly probability: number;
}

/** The chain behind a leak for one of the sources that it stands for. */
export interface PartBehind extends ChainBehind {
  /** P(this source), all of one leak adding to what the leak has. */
  readonly probability: number;
  /** Weights of `wayOut`, by suffix, that add to one. */
  readonly weights: Float64Array;
  /** Contacts up to the leak, up to what a path may have; and P(they are more than that). */
  readonly starts: readonly Start[];
  readonly over: number;
}

/**
 * Where the paths of all loops through one leak end, at one value of the shared numbers: gathered
 * loop by loop, and told by the sources of the table behind the leak.
 */
export class BehindMass {
  readonly behind: BehindLeak;
  /** The link at whose point it conducts. */
  readonly link: number;
  readonly #most: number | null;
  readonly #bySource = new Map<LeakSource, Gathered>();
  #total = 0;

  /** @param most What the contacts of a good path may have in all [Ω]; null: nobody judges it. */
  constructor(behind: BehindLeak, link: number, most: number | null) {
    [this.behind, this.link, this.#most] = [behind, link, most];
  }

  get probability(): number {
    return this.#total;
  }

  /**
   * Adds one loop.
   *
   * @param probabilities By suffix behind the leak, a row by node of the mesh.
   * @param base What lies in front of the leak but contacts [Ω].
   */
  add(probabilities: Float64Array, { t }: Mesh, base: number, loop: number): void {
    const size = t.length;
    const suffixes = probabilities.length / size;
    for (let m = 0; m < size; m++) {
      let here = 0;
      for (let q = 0; q < suffixes; q++) here += probabilities[q * size + m]!;
      this.#total += here;
      if (!(Math.abs(here) > NOTHING)) continue;
      const { sources, parts } = this.behind.partsAt(ohms(base + t[m]!), loop);
      const place = this.#placeOf(t[m]!);
      for (let q = 0; q < suffixes; q++) {
        const value = valueBehind(sources, parts, q);
        if (!(value > 0)) continue;
        const each = probabilities[q * size + m]! / value;
        for (const [k, source] of sources.entries()) {
          const weight = each * parts[k]!;
          const own = this.#gathered(source, suffixes);
          own.weights[q]! += weight;
          const probability = weight * source.values[q]!;
          own.probability += probability;
          own.places[place.low]! += probability * (1 - place.part);
          if (place.part > 0) own.places[place.low + 1]! += probability * place.part;
        }
      }
    }
  }

  /** The chains behind it, for every source that counts. */
  parts(): readonly PartBehind[] {
    const counted = [...this.#bySource].filter(
      ([, { probability }]) => Math.abs(probability) > SLIGHT * this.#total,
    );
    const all = counted.reduce((sum, [, { probability }]) => sum + probability, 0);
    return counted.map(([source, own]) => {
      const chain = this.behind.wayFrom(source);
      // Messages are scaled; the table's values are not.
      const scale = Math.exp(chain.messages.logScale) / own.probability;
      return {
        probability: (own.probability * this.#total) / all,
        weights: own.weights.map((weight) => weight * scale),
        starts: Array.from(own.places.subarray(0, PLACES), (probability, place) => ({
          t: this.#placeAt(place),
          probability: probability / own.probability,
        })),
        over: own.places[PLACES]! / own.probability,
        ...chain,
      };
    });
  }

  #gathered(source: LeakSource, suffixes: number): Gathered {
    const known = this.#bySource.get(source);
    if (known !== undefined) return known;
    const [weights, places] = [new Float64Array(suffixes), new Float64Array(PLACES + 1)];
    const own = { weights, places, probability: 0 };
    this.#bySource.set(source, own);
    return own;
  }

  /** The place up to which t goes, and its part in the next one: the mean of t stays. */
  #placeOf(t: number): { readonly low: number; readonly part: number } {
    const most = this.#most;
    if (most === null || !(t < most)) return { low: PLACES, part: 0 };
    const low = Math.min(PLACES - 2, Math.floor((2 * (PLACES - 1) * t) / (t + most)));
    const [near, far] = [this.#placeAt(low), this.#placeAt(low + 1)];
    return { low, part: (t - near) / (far - near) };
  }

  /** The resistance of a place: evenly along t / (t + most), the last one at `most` itself. */
  #placeAt(place: number): number {
    const u = place / (2 * (PLACES - 1));
    return ((this.#most ?? 0) * u) / (1 - u);
  }
}

interface Gathered {
  /** By suffix: what turns the source's values into probabilities. */
  readonly weights: Float64Array;
  /** By place of t, and last beyond them: probabilities. */
  readonly places: Float64Array;
  probability: number;
}

/** Places at which the contacts up to a leak are told apart, where the whole path is judged. */
const PLACES = 32;
/** A node of less probability than this is left out. */
const NOTHING = 1e-9;
/** So is a source of less than this part of its leak. */
const SLIGHT = 1e-4;
