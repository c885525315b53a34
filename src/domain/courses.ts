import type { FixKind } from "./fixes.ts";
import type { WorkStep } from "./work.ts";

/**
 * What is done at the first walk of a plan, whatever is read: nothing, a work, or what the connector's
 * rule says of the reading.
 */
export type FirstAct = "wait" | "clean" | "replace" | "by-reading";

/** What a course is to whoever does not weigh it. */
interface CourseTraits {
  /** It is weighed against the others by its cost; what is not leads to one that is. */
  readonly isStep: boolean;
  /** The work that it may lead to: whoever cleans may have to replace. */
  readonly work: readonly WorkStep[];
  /** What is done of it on the morning of a meet. */
  readonly fix: Extract<FixKind, "look" | "read" | "clean" | "replace">;
  /** What is done of it at the first walk of a plan. */
  readonly first: FirstAct;
}

/**
 * What may be done with a connector at a walk, in the order in which answers list it. A new course is an
 * entry here; the compiler then asks what it costs (`policy/decide-pool.ts`) and for its words in each
 * language (`words/`).
 */
export const courses = {
  look: { isStep: false, work: ["look"], fix: "look", first: "by-reading" },
  wait: { isStep: true, work: ["measure"], fix: "read", first: "wait" },
  "read-again": { isStep: false, work: ["measure"], fix: "read", first: "by-reading" },
  clean: { isStep: true, work: ["clean", "replace"], fix: "clean", first: "clean" },
  replace: { isStep: true, work: ["replace"], fix: "replace", first: "replace" },
} as const satisfies Readonly<Record<string, CourseTraits>>;

/** One of them. */
export type Action = keyof typeof courses;

/** All of them. */
export const actions = Object.keys(courses) as readonly Action[];

/** Those that are weighed by their cost. */
export type Step = {
  [Each in Action]: (typeof courses)[Each]["isStep"] extends true ? Each : never;
}[Action];

/** Whether a course is weighed by its cost. */
export const isStep = (action: Action): action is Step => courses[action].isStep;

/** All of them, in the order of `courses`. */
export const steps: readonly Step[] = actions.filter(isStep);

/** The same asked of each step. Written out: policies ask it millions of times. */
export const byStep = <T>(of: (step: Step) => T): Record<Step, T> => ({
  wait: of("wait"),
  clean: of("clean"),
  replace: of("replace"),
});
