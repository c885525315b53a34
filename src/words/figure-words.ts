import { NO_CURRENCY } from "../domain/currency.ts";
/** How numbers are written for a reader. Files and JSON keep their decimal point, whoever reads. */
export interface FigureWords {
  /** A number with so many decimals: `4.83`. */
  readonly decimal: (value: number, decimals: number) => string;
  /** `0.38 V`; two decimals, the finest that a handheld meter shows. */
  readonly volts: (volts: number) => string;
  /** A resistance without its unit: two figures, whole from 100 on, never with an exponent. */
  readonly ohmsFigures: (ohms: number) => string;
  /** `87 Ω`, or `open`. */
  readonly ohms: (ohms: number) => string;
  /** `97 %`; never 0 % or 100 % for what is merely unlikely or likely. */
  readonly percent: (probability: number) => string;
  /** `1 week`, `5 weeks`, from any number of weeks. */
  readonly weeks: (weeks: number) => string;
  /** `EUR 1,240`: whole units, the currency's code in front, a minus for what is lost. */
  readonly money: (amount: number, currency: string) => string;
}

/** What languages differ in where they write numbers. */
interface NumberManners {
  readonly decimalMark: "." | ",";
  readonly thousandsMark: "," | ".";
  /** Of a resistance that nothing passes. */
  readonly open: string;
  readonly over: string;
  readonly under: string;
  readonly week: string;
  readonly weeks: string;
}

/** Nothing that passes this little is told from an open contact [Ω]. */
const AS_GOOD_AS_OPEN = 1e9;
/** Smallest resistance with figures of its own [Ω]. */
const AS_GOOD_AS_NONE = 1e-6;

/** Whether a resistance is called open instead of given in figures. */
export const isCalledOpen = (ohms: number): boolean => ohms >= AS_GOOD_AS_OPEN;

/** First letter large, the rest as it is. */
export const sentence = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** Numbers in one language's manner. */
export function figuresIn(manners: NumberManners): FigureWords {
  const marked = (figures: string): string => figures.replace(".", manners.decimalMark);
  const decimal = (value: number, decimals: number): string => marked(value.toFixed(decimals));
  const ohmsFigures = (ohms: number): string => {
    if (isCalledOpen(ohms)) return manners.open;
    if (ohms >= 99.5) return ohms.toFixed(0);
    return marked(Math.abs(ohms) < AS_GOOD_AS_NONE ? "0.0" : ohms.toPrecision(2));
  };
  return {
    decimal,
    volts: (volts) => `${decimal(volts, 2)} V`,
    ohmsFigures,
    ohms: (ohms) => (isCalledOpen(ohms) ? manners.open : `${ohmsFigures(ohms)} Ω`),
    percent: (probability) => {
      // A chance that rounding has made 1 is still a chance.
      if (probability > 0.99) return `${manners.over} 99 %`;
      if (probability < 0.01 && probability > 0) return `${manners.under} 1 %`;
      return `${(100 * probability).toFixed(0)} %`;
    },
    weeks: (weeks) => {
      const whole = Math.round(weeks);
      return `${whole} ${whole === 1 ? manners.week : manners.weeks}`;
    },
    money: (amount, currency) => {
      const whole = Math.round(Math.abs(amount)).toString();
      const grouped = whole.replace(/\B(?=(\d{3})+$)/g, manners.thousandsMark);
      const code = currency === NO_CURRENCY ? "" : `${currency} `;
      return `${Math.round(amount) < 0 ? "−" : ""}${code}${grouped}`;
    },
  };
}
