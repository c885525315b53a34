import type { WorkCard } from "./work-cards.ts";

/**
 * What is done when, from the day the gear is hung to the day it is put away. Common practice, in our own
 * words; the maker's own instructions and local rules come first.
 */

/** One line to tick. */
export interface CheckItem {
  readonly id: string;
  readonly words: string;
  /** The card that says how, where there is one. */
  readonly card: WorkCard["id"] | null;
}

export interface Checklist {
  readonly id: "install" | "warm-up" | "between" | "after" | "season";
  readonly title: string;
  readonly items: readonly CheckItem[];
}

const list = (
  id: Checklist["id"],
  title: string,
  ...items: readonly (readonly [words: string, card?: WorkCard["id"]])[]
): Checklist => ({
  ...{ id, title },
  items: items.map(([words, card = null], at) => ({ id: `${id}-${at + 1}`, words, card })),
});

/** All of them, in the order of a season. */
export const checklists: readonly Checklist[] = [
  list(
    "install",
    "Before the meet: hang it",
    ["Walk every path with the meter; clean what is weak, before anything hangs in the water."],
    ["Set the pads, two people to each.", "set-pad"],
    ["Let one pad soak, find its strokes, give the same to all.", "adjust-pad"],
    ["Hang the buttons with slack.", "hang-button"],
    ["Mount the platforms and plug the buttons into their plugs.", "mount-platform"],
    ["Lead every cord out of the way; joints up and dry.", "dress-cables"],
    ["Pack the bag by its list; put the spares’ tags into the register."],
  ),
  list(
    "warm-up",
    "During warm-up: press it",
    ["Write down the water’s temperature; see whether the pads are due."],
    ["Press every pad: left, middle, right, high and low; count what the timer took."],
    ["Push every pad with the open hand: nothing may register."],
    ["Press every button ten times, once while its cord is moved."],
    ["Sound the start; see that every lane’s clock runs."],
    ["Show the referee the signed sheet: what was read and pressed, by whom."],
  ),
  list(
    "between",
    "Between sessions",
    ["Write down each lane that missed, with its heat."],
    ["A pad that missed: change its plug to the neighbour’s lane, and press.", "adjust-pad"],
    ["Read the path of each lane that missed, from the timer out."],
    ["Look over joints and cords: dry, tied, nobody walks on them.", "dress-cables"],
    ["Write down the water’s temperature again."],
  ),
  list(
    "after",
    "After the meet",
    ["Supply off before anything is unplugged."],
    ["Lift the pads out, two people to each; rinse and dry them flat.", "lift-pad"],
    ["Rinse plugs and buttons with fresh water, dry them, cap what has a cap."],
    ["Clean each connector that read weak; read it once more.", "clean-pod"],
    ["Bring the register up to date: what is a spare, what is gone."],
    ["Save everything in one file, and keep it off this phone."],
  ),
  list(
    "season",
    "At the season’s end",
    ["Walk every path once more; write down who read it, on which meter."],
    ["Decide what is cleaned and what is replaced over the break."],
    ["Write the memo while the figures are fresh, if parts are to be bought."],
    ["Have the meter’s calibration looked at, and its battery taken out."],
    ["Store pads flat and dry, out of the sun; hang cords in wide loops."],
    ["Print the hand-over page for whoever comes next."],
  ),
];
