import { civilDay } from "../domain/calendar.ts";

const MONTHS = [
  ...["January", "February", "March", "April", "May", "June"],
  ...["July", "August", "September", "October", "November", "December"],
] as const;

/** `20 June`, with its year where that is not `year`. */
export function dayWords(day: number, year: number | null): string {
  const civil = civilDay(day);
  const words = `${civil.dayOfMonth} ${MONTHS[civil.month - 1]}`;
  return civil.year === year ? words : `${words} ${civil.year}`;
}

/** `5 January to 20 April`, each with its year where the two differ in it; one day stands alone. */
export function rangeWords(first: number, last: number): string {
  const { year } = civilDay(last);
  if (first === last) return dayWords(last, year);
  const goesWithoutSaying = civilDay(first).year === year ? year : null;
  return `${dayWords(first, goesWithoutSaying)} to ${dayWords(last, goesWithoutSaying)}`;
}
