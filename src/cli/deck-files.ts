import { mkdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Pool } from "../domain/pool.ts";
import type { InputFault, Result } from "../domain/result.ts";
import { readPool } from "../intake/read-pool.ts";
import { UnusableInput } from "./command.ts";
import { isCode, reason } from "./file-lock.ts";

/** A file's text, or the one sentence that says why not. */
export function textOf(file: string): string {
  try {
    if (statSync(file).isDirectory()) throw new UnusableInput(`${file} is a directory, not a file`);
    return readFileSync(file, "utf8");
  } catch (error) {
    if (error instanceof UnusableInput) throw error;
    if (isCode(error, "ENOENT")) throw new UnusableInput(`there is no file ${file}`);
    throw new UnusableInput(`can't read ${file}: ${reason(error)}`);
  }
}

/** The same, null where there is no such file. */
export function textIfThere(file: string): string | null {
  try {
    return textOf(file);
  } catch (error) {
    if (error instanceof UnusableInput && error.message === `there is no file ${file}`) return null;
    throw error;
  }
}

/** What a reader made of a file; its first fault is what the user reads. */
export function used<T>(result: Result<T, InputFault | readonly InputFault[]>): T {
  if (result.ok) return result.value;
  const faults = Array.isArray(result.error) ? result.error : [result.error as InputFault];
  const [first] = faults as InputFault[];
  const more = faults.length > 1 ? ` (and ${faults.length - 1} more)` : "";
  throw new UnusableInput(`${placed(first)}${more}`);
}

/** `pool.yaml, meet.confidence: found 2; allowed: ...`, or `touches.csv is empty`. */
export function placed(one: InputFault | undefined): string {
  if (one === undefined) return "";
  return one.place === ""
    ? `${one.file} ${one.message}`
    : `${one.file}, ${one.place}: ${one.message}`;
}

export const poolOf = (file: string): Pool => used(readPool(textOf(file), file));

/** Writes files into a folder, which is made if need be. */
export function writeInto(folder: string, files: Readonly<Record<string, string>>): void {
  try {
    mkdirSync(folder, { recursive: true });
    for (const [name, text] of Object.entries(files)) writeFileSync(join(folder, name), text);
  } catch (error) {
    throw new UnusableInput(`can't write into ${folder}: ${reason(error)}`);
  }
}

/** Rows that could not be used, one line each, for standard error. */
export function rejectLines(
  rejected: readonly { file: string; line: number; reason: string }[],
): string {
  return rejected.map((one) => `${one.file}, line ${one.line}: ${one.reason}\n`).join("");
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
