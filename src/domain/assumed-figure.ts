/**
 * One figure that stands where a facility has said nothing, with all that is to be known of it. The
 * record of assumptions is made of these: `assumed.ts` (the model, and money and time), then
 * `assumed-ageing.ts`, `assumed-connectors.ts` and `assumed-meet.ts`.
 */
export interface Assumed {
  /** Key in the pool file; of a figure that the file cannot say, its name. */
  readonly key: string;
  /** "" for a pure number. */
  readonly unit: string;
  readonly meaning: string;
  readonly value: number;
  /** What the pool file may say at all. */
  readonly least: number;
  readonly most: number;
  /** Where the value comes from; "judgement": nobody measured it. */
  readonly source: string;
}

/** An assumption whose plausible range a sensitivity walks through, where the file gives none. */
export interface AssumedRange extends Assumed {
  readonly low: number;
  readonly high: number;
}

const JUDGEMENT = "judgement";

export const assumedAs = (
  key: string,
  unit: string,
  value: number,
  [least, most]: readonly [number, number],
  meaning: string,
  source = JUDGEMENT,
): Assumed => ({ key, unit, meaning, value, least, most, source });

export const chance = (key: string, value: number, meaning: string, most = 1): Assumed =>
  assumedAs(key, "", value, [0, most], meaning);

export const ranged = (of: Assumed, low: number, high: number): AssumedRange => ({
  ...of,
  ...{ low, high },
});
