import type { z } from "zod";
import type { InputFault } from "../domain/result.ts";
import { quoted } from "./quoted.ts";

/** `chain[2].fouled`, from the steps of a path. */
export function keyPath(path: readonly PropertyKey[]): string {
  return path
    .map((step) => (typeof step === "number" ? `[${step}]` : `.${String(step)}`))
    .join("")
    .replace(/^\./, "");
}

/** What was found, short enough for one sentence. */
export function found(value: unknown): string {
  if (value === undefined) return "nothing";
  if (value === null) return "an empty value";
  if (Array.isArray(value)) return value.length === 0 ? "an empty list" : "a list";
  if (typeof value === "object") return "a mapping";
  return typeof value === "string" ? quoted(value) : String(value);
}

/** A number in quotes or with a decimal comma: what the person meant. */
function meantNumber(value: unknown, allowed: string): string {
  if (typeof value !== "string" || /\b(name|word|text)\b/.test(allowed)) return "";
  const meant = value.trim().replace(",", ".");
  return /^[+-]?\d+(\.\d+)?$/.test(meant) ? `; did you mean ${meant}?` : "";
}

/** Schema issues as faults: place, what was found, what is allowed. */
export function schemaFaults(error: z.ZodError, file: string): InputFault[] {
  return error.issues.map((issue) => {
    const place = keyPath(issue.path);
    if (issue.code === "unrecognized_keys") return { file, place, message: issue.message };
    const wanted =
      issue.input === undefined
        ? `is missing; needed: ${issue.message}`
        : `found ${found(issue.input)}; allowed: ${issue.message}`;
    return { file, place, message: wanted + meantNumber(issue.input, issue.message) };
  });
}
