/**
 * The terms of the signal-path model that a pool file may set, each by the key that stands beside
 * it in `assumed.ts`; `model: plain` switches off all but the first version's own.
 */
export interface ModelTerms {
  /** The first version's model: a term that the file itself gives still stands. */
  readonly plain: boolean;
  /** P(a value was misread or mistyped). */
  readonly misread: number;
  /** Share of readings with three times the noise. */
  readonly tails: number;
  /** Standard deviation of ln(a walk's noise / the pool file's). */
  readonly noiseLogSd: number;
  /** Standard deviation of the supply's drift from a walk's first reading to its last [V]. */
  readonly driftSd: number;
  /** P(a display that is on is off, and written down so, at the next reading), without times. */
  readonly blank: number;
  /** P(a display that went off is written down as it is), with times. */
  readonly blankWritten: number;
  /** P(an off display that was written down stays off at the next reading). */
  readonly blankStays: number;
  /** P(open) for each P(fouled). */
  readonly openPerFouled: number;
  /** P(an intermittent contact is bad at one reading). */
  readonly badShare: number;
  /** The same for a reading taken while the plug is moved. */
  readonly badShareMoved: number;
  /** P(a device is stuck closed). */
  readonly stuck: number;
  /** P(a device leaks). */
  readonly leaking: number;
  /** P(water leaks at one wet connector of a circuit). */
  readonly wetLeak: number;
}
