import type { DateOrder } from "../intake/sheet/date-text.ts";
import { UnusableInput } from "./command.ts";

/** Help of the option by which the user says how a sheet's dates are meant. */
export const datesHelp = "how dates such as 03/04/2026 are meant: dmy or mdy (asked for if needed)";

/** The order that the user said, null where nothing was said. */
export function dateOrder(text: string | undefined): DateOrder | null {
  if (text === undefined) return null;
  const order = text.toLowerCase();
  if (order === "dmy" || order === "mdy") return order;
  throw new UnusableInput(`--dates is '${text}': dmy (day first) or mdy (month first)`);
}
