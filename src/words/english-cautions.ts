import type { CautionWords } from "./caution-words.ts";

/** Cautions in English. */
export const englishCautions: CautionWords = {
  each: {
    "solvent-oxidiser": {
      words:
        "Keep isopropyl alcohol, and rags wetted with it, away from calcium hypochlorite and every other " +
        "pool oxidiser: together they can catch fire. Never carry or store them together.",
      brief: "alcohol away from oxidisers and flames",
    },
    "solvent-flammable": {
      words:
        "Isopropyl alcohol is flammable: its flash point, about 12 °C (53 °F), is well under room " +
        "temperature. Ventilate, use little, keep flames, sparks and hot tools away, and wear gloves and " +
        "eye protection.",
      brief: "air, gloves and eye protection",
    },
    "solvent-dry": {
      words:
        "Disconnect the timer's supply before you clean, and let the alcohol evaporate completely before " +
        "power comes back.",
      brief: "supply off, and dry before power comes back",
    },
    "supply-off": {
      words:
        "Disconnect the timer's supply before a part is cut, stripped or replaced. Use sealant by its own " +
        "sheet, and let it cure before the part gets wet.",
      brief: "supply off; sealant by its sheet",
    },
    "over-water": {
      words:
        "The floor is wet and cords trail: nobody works alone over water or with a swimmer in the lane, and " +
        "outdoors nobody works in a thunderstorm.",
      brief: "nobody alone over water, no swimmer in the lane, no thunderstorm",
    },
    "not-in-a-session": {
      words: "Open nothing during a session without the leave of the referee or the meet manager.",
      brief: "nothing opened in a session without leave",
    },
    "low-voltage-only": {
      words:
        "Work on the low-voltage side only. Mains and fixed wiring belong to a licensed electrician, under " +
        "the local electrical code for wet areas.",
      brief: "mains and fixed wiring for the licensed",
    },
    "two-people": {
      words: "Two people lift a touchpad: it is long, wet and heavier than it looks.",
      brief: "two people to a pad",
    },
    "solvent-skin": {
      words: "Wear gloves and eye protection with solvents and sealants, and air the room.",
      brief: "gloves and eye protection, and air",
    },
    sealant: {
      words: "Use the sealant as its own safety sheet says, and let it cure before it gets wet.",
      brief: "sealant by its own sheet",
    },
    "wet-deck": {
      words:
        "The deck is wet: no cord lies where people walk. Outdoors, leave the water at lightning.",
      brief: "no cord where people walk",
    },
    "no-certificate": {
      words:
        "This is maintenance advice. It certifies nothing: whether a timing system meets a competition's " +
        "rules is for that competition's officials to say.",
      brief: "what certifies a meet is for its officials",
    },
  },
  moments: {
    opening: "Before you open anything",
    cleaning: "Before you clean",
    any: "Take care",
  },
  caution: "Caution",
  hereToo: "The cautions above hold here too.",
};
