import type { Explanation } from "../domain/findings.ts";

/**
 * What can hurt someone in the work that is proposed, by the step where it stands. Every output that
 * proposes work prints these words beside the step; no other file words a caution.
 *
 * Sources: NIOSH Pocket Guide, isopropyl alcohol (flash point 53 °F, class IB flammable liquid,
 * incompatible with strong oxidizers and chlorine); Fire Engineering, "Swimming pool disinfectants"
 * (calcium hypochlorite and chlorinated isocyanurates are kept from propyl alcohol). The rest is
 * common practice, and defers to local codes and licensed people where the work leaves low voltage.
 */

/** A piece of work that is proposed to someone. */
export type WorkStep =
  | "measure"
  | "look"
  | "clean"
  | "replace"
  | "lift-pads"
  | "seal"
  | "over-water"
  | "deck";

/** One caution. */
export interface Caution {
  readonly id:
    | "solvent-flammable"
    | "solvent-oxidiser"
    | "solvent-dry"
    | "supply-off"
    | "over-water"
    | "not-in-a-session"
    | "low-voltage-only"
    | "two-people"
    | "no-certificate"
    | "solvent-skin"
    | "sealant"
    | "wet-deck";
  /** The steps that it stands beside. */
  readonly steps: readonly WorkStep[];
  /** Plain words, one or two sentences. */
  readonly words: string;
  /** The same in a few words, for where the whole has been said or can be asked for. */
  readonly brief: string;
}

/** All of them, the most urgent first. */
export const cautions: readonly Caution[] = [
  {
    id: "solvent-oxidiser",
    steps: ["clean"],
    words:
      "Keep isopropyl alcohol, and rags wetted with it, away from calcium hypochlorite and every other " +
      "pool oxidiser: together they can catch fire. Never carry or store them together.",
    brief: "alcohol away from oxidisers and flames",
  },
  {
    id: "solvent-flammable",
    steps: ["clean"],
    words:
      "Isopropyl alcohol is flammable: its flash point, about 12 °C (53 °F), is well under room " +
      "temperature. Ventilate, use little, keep flames, sparks and hot tools away, and wear gloves and " +
      "eye protection.",
    brief: "air, gloves and eye protection",
  },
  {
    id: "solvent-dry",
    steps: ["clean"],
    words:
      "Disconnect the timer's supply before you clean, and let the alcohol evaporate completely before " +
      "power comes back.",
    brief: "supply off, and dry before power comes back",
  },
  {
    id: "supply-off",
    steps: ["look", "replace", "seal"],
    words:
      "Disconnect the timer's supply before a part is cut, stripped or replaced. Use sealant by its own " +
      "sheet, and let it cure before the part gets wet.",
    brief: "supply off; sealant by its sheet",
  },
  {
    id: "over-water",
    steps: ["measure", "look", "clean", "replace", "over-water"],
    words:
      "The floor is wet and cords trail: nobody works alone over water or with a swimmer in the lane, and " +
      "outdoors nobody works in a thunderstorm.",
    brief: "nobody alone over water, no swimmer in the lane, no thunderstorm",
  },
  {
    id: "not-in-a-session",
    steps: ["look", "clean", "replace", "deck"],
    words: "Open nothing during a session without the leave of the referee or the meet manager.",
    brief: "nothing opened in a session without leave",
  },
  {
    id: "low-voltage-only",
    steps: ["measure", "look", "clean", "replace"],
    words:
      "Work on the low-voltage side only. Mains and fixed wiring belong to a licensed electrician, under " +
      "the local electrical code for wet areas.",
    brief: "mains and fixed wiring for the licensed",
  },
  {
    id: "two-people",
    steps: ["lift-pads"],
    words: "Two people lift a touchpad: it is long, wet and heavier than it looks.",
    brief: "two people to a pad",
  },
  {
    id: "solvent-skin",
    steps: ["seal"],
    words: "Wear gloves and eye protection with solvents and sealants, and air the room.",
    brief: "gloves and eye protection, and air",
  },
  {
    id: "sealant",
    steps: ["seal"],
    words: "Use the sealant as its own safety sheet says, and let it cure before it gets wet.",
    brief: "sealant by its own sheet",
  },
  {
    id: "wet-deck",
    steps: ["deck"],
    words:
      "The deck is wet: no cord lies where people walk. Outdoors, leave the water at lightning.",
    brief: "no cord where people walk",
  },
  {
    id: "no-certificate",
    steps: ["measure", "look", "clean", "replace", "lift-pads"],
    words:
      "This is maintenance advice. It certifies nothing: whether a timing system meets a competition's " +
      "rules is for that competition's officials to say.",
    brief: "what certifies a meet is for its officials",
  },
];

/** One caution by its name, for a step that needs it alone. */
export const cautionOf = (id: Caution["id"]): Caution =>
  cautions.find((caution) => caution.id === id)!;

/** The cautions that stand beside these steps, each once, the most urgent first. */
export const cautionsFor = (...steps: readonly WorkStep[]): readonly Caution[] =>
  cautions.filter((caution) => caution.steps.some((step) => steps.includes(step)));

/** The same in one sentence: `Before you clean: supply off; two people to a pad.` */
export const briefCautions = (before: string, ...steps: readonly WorkStep[]): string =>
  `${before}: ${cautionsFor(...steps)
    .map(({ brief }) => brief)
    .join("; ")}.`;

/** The cautions that stand beside explanations whose test takes a device off the line. */
export const explanationCautions = (explanations: readonly Explanation[]): readonly Caution[] =>
  explanations.some(({ kind }) => kind === "stuck" || kind === "leaking")
    ? cautionsFor("measure")
    : [];
