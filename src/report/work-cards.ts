import type { ConnectorClass } from "../domain/circuit.ts";
import { mayBeBroken } from "../domain/findings.ts";
import type { Caution } from "./cautions.ts";

/**
 * How the acts are done that the tool advises or a deck day needs, in at most seven steps each. Common
 * practice of people who keep such gear, written down from no maker's leaflet: the maker's own
 * instructions and local rules come first, and every card says so.
 */

/** One step, with the cautions that it needs beside it. */
export interface CardStep {
  readonly words: string;
  readonly cautions: readonly Caution["id"][];
}

export interface WorkCard {
  readonly id:
    | "find-break"
    | "clean-outlet"
    | "clean-plate"
    | "clean-pod"
    | "new-plug"
    | "new-plate"
    | "set-pad"
    | "lift-pad"
    | "adjust-pad"
    | "hang-button"
    | "mount-platform"
    | "dress-cables";
  readonly title: string;
  /** Out of the bag, by the names that the bag's list has. */
  readonly tools: readonly string[];
  readonly steps: readonly CardStep[];
  /** The reading or press that ends it; `V` and `POINT` stand for what is expected where. */
  readonly ends: string;
}

/** Stands on every card. */
export const CARD_PREFACE =
  "The maker’s instructions and your local rules come first; this is common practice.";

const step = (words: string, ...cautions: readonly Caution["id"][]): CardStep => ({
  words,
  cautions,
});

const READ = "The POINT reads V, and it stays there when the plug is moved.";
const PRESS = "Ten presses along it all register, and the POINT reads V at rest.";

const cleaning = ["alcohol wipe", "contact brush"];

/** All cards, in the order from the timer out. */
export const workCards: readonly WorkCard[] = [
  {
    id: "find-break",
    title: "Look for a break",
    tools: ["wire stripper and screwdriver"],
    steps: [
      step("Push the connector home and read: what was not seated reads sound now."),
      step(
        "Ask for leave, then switch the timer’s supply off.",
        "not-in-a-session",
        "supply-off",
        "wet-deck",
      ),
      step("Pull it apart by its body; look for bent, missing and pushed-back pins."),
      step("Open it; tug each wire gently. A loose one is stripped fresh and tightened."),
      step("Feel along the cable up to it for cuts, kinks and swollen places."),
      step("Put it together until it seats, switch the supply on and read, still and moved."),
      step("Write it down as reseated; if it still passes nothing, replace what is broken."),
    ],
    ends: READ,
  },
  {
    id: "clean-outlet",
    title: "Clean an outlet or a harness connector",
    tools: cleaning,
    steps: [
      step("Ask for leave, then switch the timer’s supply off.", "not-in-a-session", "solvent-dry"),
      step("Pull the connector apart by its body, never by the cord."),
      step(
        "Look: green or white crust, bent or pushed-back pins, water inside. Broken parts are replaced.",
      ),
      step(
        "Brush every pin and socket dry, then wipe each once with a fresh side of the wipe.",
        "solvent-oxidiser",
        "solvent-flammable",
      ),
      step("Let it dry completely in the air."),
      step(
        "Put it together until it seats, and part and join it twice more: that wipes the contacts.",
      ),
      step("Switch the supply on and read."),
    ],
    ends: READ,
  },
  {
    id: "clean-plate",
    title: "Clean a plate’s terminals",
    tools: [...cleaning, "wire stripper and screwdriver"],
    steps: [
      step("Ask for leave, then switch the timer’s supply off.", "not-in-a-session", "solvent-dry"),
      step("Dry the plate and the deck around it before you open it.", "wet-deck"),
      step("Open it; take a picture of which wire sits where."),
      step("Tug each wire gently. A loose one is the fault: strip it fresh and tighten it."),
      step(
        "Brush the terminals and wipe each once with a fresh side of the wipe.",
        "solvent-oxidiser",
        "solvent-flammable",
      ),
      step("Let it dry, tighten, close it with its seal clean and in its groove."),
      step("Switch the supply on and read."),
    ],
    ends: READ,
  },
  {
    id: "clean-pod",
    title: "Clean a device’s plug and terminals",
    tools: cleaning,
    steps: [
      step(
        "First put this plug into the neighbour lane’s socket: if the fault goes along, it is the device’s.",
      ),
      step("Switch the timer’s supply off.", "not-in-a-session", "solvent-dry"),
      step("Unplug it; rinse salt and dirt off with fresh water and dry it."),
      step(
        "Brush pins and sockets, and wipe each once with a fresh side of the wipe.",
        "solvent-oxidiser",
        "solvent-flammable",
      ),
      step("Look along the cord for cuts, kinks and swollen places."),
      step("Let it dry, plug it in until it seats."),
      step("Switch the supply on and read, first still, then while somebody moves the plug."),
    ],
    ends: READ,
  },
  {
    id: "new-plug",
    title: "Put a new plug on a cord",
    tools: [
      "spare: pad plug",
      "wire stripper and screwdriver",
      "sealant, one tube",
      "hook-and-loop tie",
    ],
    steps: [
      step("Unplug the cord from the deck; the supply is off.", "supply-off"),
      step("Slide the new plug’s nut and grip over the cord before anything else."),
      step(
        "Cut back to bright copper, strip as long as the terminal is deep, twist, leave no stray strand.",
      ),
      step("Fasten both wires. Two wires of a switch go either way round; tug each."),
      step(
        "Fasten the strain relief on the cord’s jacket, so that a pull never reaches the wires.",
      ),
      step("Seal where the cord enters, and let it cure.", "sealant", "solvent-skin"),
      step("Plug it in and read, still and moved; press the device ten times."),
    ],
    ends: PRESS,
  },
  {
    id: "new-plate",
    title: "Put in a new plate or outlet",
    tools: ["wire stripper and screwdriver", "sealant, one tube"],
    steps: [
      step(
        "Ask for leave, then switch the timer’s supply off.",
        "not-in-a-session",
        "supply-off",
        "low-voltage-only",
      ),
      step("Dry the old one and the deck around it before you open it.", "wet-deck"),
      step("Take a picture of which wire sits where, and mark each wire."),
      step("Take it off; strip each wire back to bright copper, as long as the terminal is deep."),
      step("Fasten each wire in the new one as the picture shows it; tug each."),
      step("Seal where the cable enters, close it, and let it cure.", "sealant", "solvent-skin"),
      step("Switch the supply on and read, still and moved."),
    ],
    ends: READ,
  },
  {
    id: "set-pad",
    title: "Set a pad",
    tools: ["wire, stripped to fit"],
    steps: [
      step("Clear the lane of swimmers; two people take the pad.", "over-water", "two-people"),
      step(
        "Count brackets: two for each pad, and one more where the wall’s lip is uneven. Hang them level.",
      ),
      step("Lower the pad flat against the wall, without bending it over an edge."),
      step(
        "Let it hang freely on its brackets; it touches the wall everywhere and is tied to nothing.",
      ),
      step("Lead the cord up at the lane rope’s side, out of the swimmers’ way.", "wet-deck"),
      step("Plug it in; wait as long as its maker says before you trust it in cold water."),
      step("Press it at both sides, the middle, high and low."),
    ],
    ends: PRESS,
  },
  {
    id: "lift-pad",
    title: "Lift a pad out",
    tools: [],
    steps: [
      step(
        "Change its plug to the neighbour’s lane first: a fault that stays in the lane needs no lifting.",
      ),
      step("Clear the lane of swimmers; two people take the pad.", "over-water", "two-people"),
      step("Unplug the cord and coil it where nobody steps on it.", "wet-deck"),
      step("Lift it straight up off its brackets, keep it flat, let the water run out."),
      step("Carry it flat between you; rest it on its long edge, never on its face."),
      step("Rinse it with fresh water, look for dents and opened seams, let it dry in the shade."),
    ],
    ends: "It goes back in, and ten presses along it all register.",
  },
  {
    id: "adjust-pad",
    title: "Adjust a pad that misses or fires by itself",
    tools: [],
    steps: [
      step("Change its plug to the neighbour’s lane: the fault must go along with the pad."),
      step("Clear the lane of swimmers.", "over-water"),
      step(
        "See that it touches the wall along its whole length; a pad on a round wall may need one bracket fewer in the middle.",
      ),
      step("Free it of anything that leans on it: lane rope, cord, a bracket screwed too tight."),
      step("Press where it missed, then a hand’s width to each side, and write each down."),
      step("One edge dead at the same place every time is the pad: it is replaced, not adjusted."),
    ],
    ends: PRESS,
  },
  {
    id: "hang-button",
    title: "Hang a button",
    tools: ["hook-and-loop tie"],
    steps: [
      step("Hang it where the timekeeper stands, at hand height, out of the splash."),
      step("Leave a forearm’s length of slack, and tie the cord once, loosely.", "wet-deck"),
      step("Plug it in until it seats, the joint off the floor."),
      step("Press it ten times, short and long, and once while the cord is moved."),
    ],
    ends: PRESS,
  },
  {
    id: "mount-platform",
    title: "Mount a platform and plug the button into its plug",
    tools: ["hook-and-loop tie"],
    steps: [
      step(
        "Two people lift the platform on; clear the lane of swimmers.",
        "two-people",
        "over-water",
      ),
      step("Fasten it as its maker says, and try with a hand that it does not rock."),
      step("Plug the platform into the deck, and the button into the platform’s plug."),
      step("Tie both cords to the block’s leg with slack, the joint off the floor.", "wet-deck"),
      step("Press the button ten times; step on the platform and off."),
    ],
    ends: PRESS,
  },
  {
    id: "dress-cables",
    title: "Dress the cables out of the way",
    tools: ["hook-and-loop tie"],
    steps: [
      step(
        "Lay every cord along the wall or under a ramp; none crosses where people walk.",
        "wet-deck",
      ),
      step(
        "Keep joints up, out of puddles, and let each cord hang in a loop before it, so that water drips off.",
      ),
      step("Leave slack at both ends; bend no cord tighter than your fist."),
      step("Tie with hook and loop, never with wire or a zip tie pulled tight."),
      step("Mark each plug with its lane."),
    ],
    ends: "Each lane’s POINT still reads V.",
  },
];

/** The card for the cleaning of a connector of this class. */
export const cleaningCard = (kind: ConnectorClass): WorkCard =>
  workCards.find(
    ({ id }) =>
      id ===
      (kind === "plate"
        ? "clean-plate"
        : kind === "pod" || kind === "stacked plug"
          ? "clean-pod"
          : "clean-outlet"),
  )!;

/** The card for a new connector of this class: what hangs on a wall, or on a cord. */
export const replacingCard = (kind: ConnectorClass): WorkCard => {
  const wanted = kind === "plate" || kind === "outlet" ? "new-plate" : "new-plug";
  return workCards.find(({ id }) => id === wanted)!;
};

/** The card for a suspect of this class: a look, where its worst contact may be broken, else the cleaning. */
export const suspectsCard = (
  kind: ConnectorClass,
  worst: Parameters<typeof mayBeBroken>[0],
): WorkCard =>
  mayBeBroken(worst) ? workCards.find(({ id }) => id === "find-break")! : cleaningCard(kind);

/** What the bag gives for a card; nothing where it needs no tool. */
export const toolsWords = ({ tools }: WorkCard): string =>
  tools.length === 0 ? "" : `From the bag: ${tools.join(", ")}.`;

/** How a card ends, with what is expected where. */
export const endsWords = ({ ends }: WorkCard, point: string, volts: string): string =>
  ends.replace("POINT", point).replace(/\bV\b/, volts);
