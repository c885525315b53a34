import type { CheckWords } from "./check-words.ts";
import { englishPlaces as places } from "./english-places.ts";

/** `check` in English. */
export const englishCheck: CheckWords = {
  head: ({ pool, walk, readings, circuits }) =>
    `${pool}, walk ${walk}: ${places.counted(readings, "reading")} of ${places.counted(circuits, "circuit")}`,
  misfit: (best) =>
    `The readings do not fit together: nothing passes, and no probability here is over 95 %. What would make them fit: ${best ?? "something that this program does not know"}.`,
  readAgainFirst: (all) =>
    `Read again first: ${all.map((one) => `${places.circuit(one)}, ${one.point}`).join("; ")}.`,
  sound: (limit, where) =>
    `Sound: every circuit read is over its limit (${limit} at the ${where}).`,
  notYet: (finding, limit, where) =>
    `${finding}. No circuit is under its limit (${limit} at the ${where}) yet.`,
  weak: (limit, told) => `Weak (limit ${limit}): ${told}.`,
  again: (who, why) => `Read again: ${who}: ${why}.`,
  andMore: (count) => `and ${count} more`,
  andMoreCircuits: (count) => `and ${places.counted(count, "circuit")} more`,
  othersSound: (count, least) =>
    `${count} other ${count === 1 ? "circuit is" : "circuits are"} sound: ${least} or more at the last point.`,
  mapTitle: "Volts by lane and point",
  mapHeads: ["lane", "device"],
  marks: { again: "again", open: "open", weak: "weak" },
  circuits: (counts, limit, where) => `Circuits: ${counts} (limit ${limit} at the ${where})`,
  everySound: (limit, where) => `Every circuit read is sound (limit ${limit} at the ${where}).`,
  readAgainTitle: "Read again, in this order",
  shown: (line, volts) => ` (line ${line}, ${volts})`,
  informed: (walks) =>
    walks.length === 1
      ? `Starts from what the walk ${walks[0]} left.`
      : `Starts from what the walks ${walks.slice(0, -1).join(", ")} and ${walks.at(-1)} left.`,
  details: "--details: every reading, chance, margin and caution.",
  unknownLoad:
    "The meter's load is not known: the ranking stands, resistances are wide, and no circuit can be " +
    "called sound. One resistor of known value in front of the meter settles it (dropwise meter).",
  meter: (name, what) => `Meter ${name}: ${what}`,
  showsNothing: "shows no contact resistance at all.",
  shows: (ohms) => `shows a contact of ${ohms} or more.`,
  showsTooLittle: (ohms) =>
    `shows a contact of ${ohms} or more, and a path may be at its limit with less: none read with it can be called sound.`,
  unused: (lost, of, used) =>
    `Careful: ${lost} of ${places.counted(of, "row")} not used; what follows rests on the other ${used}.`,
};
