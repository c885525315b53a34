import { figuresIn } from "./figure-words.ts";

export const englishFigures = figuresIn({
  decimalMark: ".",
  thousandsMark: ",",
  open: "open",
  over: "over",
  under: "under",
  week: "week",
  weeks: "weeks",
});
