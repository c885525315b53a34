import type { VerdictWords } from "./verdict-words.ts";

export const germanVerdicts: VerdictWords = {
  verdicts: { sound: "in Ordnung", weak: "schwach", "read-again": "nachmessen" },
  doubts: {
    "does-not-fit": "die Messwerte passen nicht zusammen",
    "one-odd-value": "ein Wert passt nicht zu den anderen",
    "display-off": "eine Null kann von einer Anzeige kommen, die sich abgeschaltet hatte",
    moves: "ein Kontakt hat vielleicht einen Wackler: messen, während der Stecker bewegt wird",
    conducting: "zwischen den Adern leitet vielleicht etwas: mit abgestecktem Gerät messen",
    "unknown-load":
      "der Eingangswiderstand des Messgeräts ist nicht bekannt: ein bekannter Widerstand klärt ihn (dropwise meter)",
    "blind-meter": "das Messgerät würde einen Pfad an der Grenze nicht zeigen",
    "not-read": "der letzte Punkt wurde nicht gemessen",
    "near-limit": "eine weitere Messung klärt, ob er unter der Grenze liegt",
  },
  weaknesses: {
    "under-limit": "unter der Grenze",
    open: "offen",
    "comes-and-goes": "ein Kontakt hat einen Wackler",
    conducting: "zwischen den Adern leitet etwas",
  },
  notRead: (point) => `${point} nicht gemessen`,
  limit: (limit) => `, Grenze ${limit}`,
  counts: (count) =>
    `${count.weak} schwach, ${count["read-again"]} nachzumessen, ${count.sound} in Ordnung`,
};
