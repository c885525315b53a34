import type { InputFault, Result } from "../domain/result.ts";
import { UnusableInput } from "./command.ts";
import { faultSentence } from "./files.ts";

/** What a reader made of a file; its first fault is the one sentence that the user reads. */
export function used<T>(result: Result<T, InputFault | readonly InputFault[]>): T {
  if (result.ok) return result.value;
  const { error } = result;
  throw new UnusableInput(faultSentence("file" in error ? [error] : error));
}

/** A calendar day as an option, or one clear sentence. */
export function dayOption(text: string, today: string): string {
  if (text === "today") return today;
  const real = /^\d{4}-\d\d-\d\d$/.test(text) && !Number.isNaN(Date.parse(`${text}T00:00:00Z`));
  const same = real && new Date(`${text}T00:00:00Z`).toISOString().startsWith(text);
  if (!same)
    throw new UnusableInput(`--date is '${text}': a day such as 2026-06-13, or the word today`);
  return text;
}
