/** Thrown where a mutant takes many times the steps that the source itself took. */
export class OutOfSteps extends Error {}

/** Steps that nobody counts. */
const ENDLESS = 1e15;

/** The switches that mutated sources ask at every step: which mutant is on, and which there are. */
export class Switches {
  private on = -1;
  private left = ENDLESS;
  private seen: Set<number> | null = new Set();

  readonly isOn = (id: number): boolean => {
    this.left -= 1;
    if (this.left < 0) throw new OutOfSteps();
    return id === this.on;
  };

  readonly see = (...ids: readonly number[]): void => {
    if (this.seen !== null) for (const id of ids) this.seen.add(id);
  };

  /** What was come by since no test ran, and so while files were loading. */
  loaded(): ReadonlySet<number> {
    const { seen } = this;
    this.seen = new Set();
    return seen ?? new Set();
  }

  /** Runs with no mutant on: how many steps it took, and which mutants it came by. */
  async bare(run: () => unknown): Promise<{ steps: number; seen: ReadonlySet<number> }> {
    const seen = new Set<number>();
    [this.seen, this.left] = [seen, ENDLESS];
    try {
      await run();
      return { steps: ENDLESS - this.left, seen };
    } finally {
      [this.seen, this.left] = [new Set(), ENDLESS];
    }
  }

  /** Runs with one mutant on, for so many steps: whether that failed, or did not end. */
  async tried(
    id: number,
    steps: number,
    run: () => unknown,
  ): Promise<"noticed" | "endless" | "passed"> {
    [this.seen, this.on, this.left] = [null, id, steps];
    try {
      await run();
      return this.left < 0 ? "endless" : "passed";
    } catch {
      return this.left < 0 ? "endless" : "noticed";
    } finally {
      [this.seen, this.on, this.left] = [new Set(), -1, ENDLESS];
    }
  }
}
