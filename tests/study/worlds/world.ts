import { drawDeck } from "./deck.ts";
import type { Uniform } from "./laws.ts";
import type { Layout } from "./layout.ts";
import type { Nature } from "./nature.ts";
import { type Taken, takeReadings } from "./readings.ts";
import { slip } from "./sheet-mishaps.ts";
import { poolText, readingsText, type Told } from "./sheets.ts";
import { type Truth, truthOf } from "./truth.ts";

/** One way in which a deck may be, and what its people say of it. */
export interface World {
  readonly name: string;
  /** One line: what differs from the model. */
  readonly differs: string;
  readonly layout: Layout;
  readonly nature: Nature;
  readonly told: Told;
}

/** A walk as files, and the truth that they do not contain. */
export interface DrawnWalk {
  readonly pool: string;
  readonly readings: string;
  readonly taken: readonly Taken[];
  readonly truth: Truth;
}

/** Nominal supply over the limit, less one: a limit of 4.8 V in loads of the meter. */
const LIMIT_LOADS = 5 / 4.8 - 1;

export function drawWalk({ layout, nature, told }: World, uniform: Uniform): DrawnWalk {
  const deck = drawDeck(layout, nature, uniform);
  const { taken, mixedUp } = slip(deck, nature, takeReadings(deck, nature, uniform), uniform);
  const limit = told.limitOhms ?? deck.load * LIMIT_LOADS;
  return {
    pool: poolText(layout, told),
    readings: readingsText(taken, told),
    taken,
    truth: truthOf(deck, taken, limit, mixedUp),
  };
}
