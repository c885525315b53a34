import type { VerdictWords } from "./verdict-words.ts";

export const englishVerdicts: VerdictWords = {
  verdicts: { sound: "sound", weak: "weak", "read-again": "read again" },
  doubts: {
    "does-not-fit": "the readings do not fit together",
    "one-odd-value": "one value does not fit the others",
    "display-off": "a zero may be a display that had gone off",
    moves: "a contact may come and go: read it while the plug is moved",
    conducting: "something may conduct across the pair: read it with the device unplugged",
    "unknown-load":
      "the meter's load is not known: one resistor of known value settles it (dropwise meter)",
    "blind-meter": "the meter would not show a path that is at its limit",
    "not-read": "the last point was not read",
    "near-limit": "one more reading settles whether it is under the limit",
  },
  weaknesses: {
    "under-limit": "under its limit",
    open: "open",
    "comes-and-goes": "a contact comes and goes",
    conducting: "something conducts across the pair",
  },
  notRead: (point) => `${point} not read`,
  limit: (limit) => `, limit ${limit}`,
  counts: (count) =>
    `${count.weak} weak, ${count["read-again"]} to read again, ${count.sound} sound`,
};
