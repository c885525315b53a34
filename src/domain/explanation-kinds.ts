/**
 * How a kind is found. `device`, `water`: it conducts, and is in the one posterior, circuit by circuit; to
 * tell a device from the contacts it is unplugged. `shared`: read off what a walk's circuits share.
 * `rival`: by an inference of its own; where it holds, a walk that does not fit may fit.
 */
type FoundAs = "device" | "water" | "shared" | "rival";

/**
 * Every other explanation of a walk's readings, in the order in which answers list them. A new kind is an
 * entry here; the compiler then asks who finds it (`diagnosis/explanations.ts`; of a rival,
 * `diagnosis/rivals/weigh-rivals.ts`) and for its words in each language (`words/`).
 */
const kinds = {
  stuck: "device",
  leaking: "device",
  wet: "water",
  "display-off": "shared",
  "supply-low": "shared",
  "supply-steps": "rival",
  "supply-drifts": "rival",
  "points-swapped": "rival",
  "rows-swapped": "rival",
  crossed: "rival",
  "meter-load": "shared",
  "meter-blind": "shared",
} as const satisfies Readonly<Record<string, FoundAs>>;

export type ExplanationKind = keyof typeof kinds;

type Found<As extends FoundAs> = {
  [Kind in ExplanationKind]: (typeof kinds)[Kind] extends As ? Kind : never;
}[ExplanationKind];

/** What conducts across a circuit's pair. */
export type ConductingKind = Found<"device" | "water">;
/** What is read off what a walk's circuits share. */
export type SharedKind = Found<"shared">;
/** Another way in which a whole walk may have come about. */
export type RivalKind = Found<"rival">;

export const explanationKinds = Object.keys(kinds) as readonly ExplanationKind[];

export const unplugs = (kind: ExplanationKind): boolean => kinds[kind] === "device";
export const conducts = (kind: ExplanationKind): kind is ConductingKind =>
  unplugs(kind) || kinds[kind] === "water";
export const isRival = (kind: ExplanationKind): kind is RivalKind => kinds[kind] === "rival";
