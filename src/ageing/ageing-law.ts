/** ln rate ~ Normal(ln median, logSd). */
export interface LogNormalRate {
  readonly median: number;
  readonly logSd: number;
}

/** Steps that many contacts of a pool take together: compound Poisson. */
export interface StepLaw {
  readonly perWeek: number;
  /** P(one step touches a contact). */
  readonly touched: number;
  /** Mean of the exponential rise [ln ohm]. */
  readonly rise: number;
}

/** How contacts get worse: what a class has in common. */
export interface AgeingLaw {
  /** P(a contact of the class does not grow). */
  readonly notGrowing: number;
  /** P(growth is linear in ohms, Box-Cox 1); else it is linear in ln ohms, Box-Cox 0. */
  readonly linear: number;
  /** Of those that grow, linear in ln ohms [ln ohm a week]. */
  readonly logRate: LogNormalRate;
  /** Of those that grow, linear in ohms [ohm a week]. */
  readonly ohmRate: LogNormalRate;
  /** Standard deviation from walk to walk about the line [ln ohm]. */
  readonly scatter: number;
  readonly steps: StepLaw;
}
