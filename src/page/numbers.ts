import { NO_CURRENCY } from "../domain/currency.ts";

/** Numbers as this phone writes them: decimal comma or point, from the browser's own language. */

const format = (digits: number): Intl.NumberFormat =>
  new Intl.NumberFormat(undefined, {
    minimumFractionDigits: digits,
    maximumFractionDigits: digits,
  });
const twoDigits = format(2);

/** Between a figure and its unit, which no line break may part. */
const joint = "\u00A0";

/** `4.91` or `4,91`. */
export const voltsFigures = (volts: number): string => twoDigits.format(volts);

/** `4.91 V` or `4,91 V`. */
export const voltsWords = (volts: number): string => `${voltsFigures(volts)}${joint}V`;

/** `97 %`; never 0 % or 100 % for what is merely unlikely or likely. */
export function chanceWords(probability: number): string {
  if (probability > 0.99 && probability < 1) return `over 99${joint}%`;
  if (probability < 0.01 && probability > 0) return `under 1${joint}%`;
  return `${format(0).format(100 * probability)}${joint}%`;
}

/** Three figures at most; `open` for an infinite resistance. */
export function ohmsWords(ohms: number): string {
  if (!Number.isFinite(ohms)) return "open";
  const digits = ohms >= 100 ? 0 : ohms >= 10 ? 0 : ohms >= 1 ? 1 : 2;
  return `${format(digits).format(ohms)}${joint}Ω`;
}

/** Whole units of money, with the code where there is one. */
export const moneyWords = (amount: number, currency: string): string =>
  `${currency === NO_CURRENCY ? "" : `${currency} `}${format(0).format(amount)}`;

/** This browser's mark between whole units and decimals. */
export const decimalMark = twoDigits.formatToParts(1.5).find((part) => part.type === "decimal")
  ?.value as string;
