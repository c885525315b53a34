/** How a kind is found, and what its test takes. */
interface KindTraits {
  /**
   * `conducts`: in the one posterior, circuit by circuit. `shared`: read off what a walk's circuits
   * share. `rival`: by an inference of its own; where it holds, a walk that does not fit may fit.
   */
  readonly by: "conducts" | "shared" | "rival";
  /** A device is taken off the line to tell it from the contacts. */
  readonly unplugs: boolean;
}

/**
 * Every other explanation of a walk's readings, in the order in which answers list them. A new kind is an
 * entry here; the compiler then asks who finds it (`diagnosis/explanations.ts`; of a rival,
 * `diagnosis/rivals/weigh-rivals.ts`) and for its words in each language (`words/`).
 */
const kinds = {
  stuck: { by: "conducts", unplugs: true },
  leaking: { by: "conducts", unplugs: true },
  wet: { by: "conducts", unplugs: false },
  "display-off": { by: "shared", unplugs: false },
  "supply-low": { by: "shared", unplugs: false },
  "supply-steps": { by: "rival", unplugs: false },
  "supply-drifts": { by: "rival", unplugs: false },
  "points-swapped": { by: "rival", unplugs: false },
  "rows-swapped": { by: "rival", unplugs: false },
  crossed: { by: "rival", unplugs: false },
  "meter-load": { by: "shared", unplugs: false },
  "meter-blind": { by: "shared", unplugs: false },
} as const satisfies Readonly<Record<string, KindTraits>>;

export type ExplanationKind = keyof typeof kinds;

type FoundBy<By extends KindTraits["by"]> = {
  [Kind in ExplanationKind]: (typeof kinds)[Kind]["by"] extends By ? Kind : never;
}[ExplanationKind];

/** What conducts across a circuit's pair. */
export type ConductingKind = FoundBy<"conducts">;
/** What is read off what a walk's circuits share. */
export type SharedKind = FoundBy<"shared">;
/** Another way in which a whole walk may have come about. */
export type RivalKind = FoundBy<"rival">;

export const explanationKinds = Object.keys(kinds) as readonly ExplanationKind[];

export const conducts = (kind: ExplanationKind): kind is ConductingKind =>
  kinds[kind].by === "conducts";
export const isRival = (kind: ExplanationKind): kind is RivalKind => kinds[kind].by === "rival";
export const unplugs = (kind: ExplanationKind): boolean => kinds[kind].unplugs;
