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

type Issue = z.core.$ZodIssue;

/** Wrong as a whole: the value is not of this kind at all. */
const isOfOtherKind = (issues: readonly Issue[]): boolean =>
  issues.some(
    ({ path, code }) => path.length === 0 && (code === "invalid_type" || code === "invalid_value"),
  );

/**
 * The issues of the one kind of value that was meant, where a key takes several kinds: what is wrong
 * inside a mapping is said of its own keys, not of the mapping.
 */
function meantIssues(issue: Issue): readonly Issue[] {
  if (issue.code !== "invalid_union") return [issue];
  const meant = issue.errors.filter((issues) => issues.length > 0 && !isOfOtherKind(issues));
  if (meant.length !== 1) return [issue];
  return meant[0]!.flatMap((inner) =>
    meantIssues({ ...inner, path: [...issue.path, ...inner.path] }),
  );
}

/** Schema issues as faults: place, what was found, what is allowed. */
export function schemaFaults(error: z.ZodError, file: string): InputFault[] {
  return error.issues.flatMap(meantIssues).map((issue) => {
    const place = keyPath(issue.path);
    if (issue.code === "unrecognized_keys") return { file, place, message: issue.message };
    const wanted =
      issue.input === undefined
        ? `is missing; needed: ${issue.message}`
        : `found ${found(issue.input)}; allowed: ${issue.message}`;
    return { file, place, message: wanted + meantNumber(issue.input, issue.message) };
  });
}
