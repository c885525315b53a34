import { figuresIn } from "./figure-words.ts";

/** DIN 1333 has the comma as decimal mark, DIN 5008 the point between thousands of money; from memory. */
export const germanFigures = figuresIn({
  decimalMark: ",",
  thousandsMark: ".",
  open: "offen",
  over: "über",
  under: "unter",
  week: "Woche",
  weeks: "Wochen",
});
