import type { InputFault, Result } from "../../src/domain/result.ts";
import { decodeFile } from "../../src/intake/decode-text.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readFacility } from "../../src/intake/read-facility.ts";
import { sheetBytes } from "./make-sheet.ts";
import { type YamlName, yamlText } from "./make-yaml.ts";
import { randomFrom } from "./random.ts";

const readers: Readonly<
  Record<YamlName, (text: string, file: string) => Result<object, readonly InputFault[]>>
> = { pool: readPool, facility: readFacility };

/** The first number in a value that is none, by its path; null where all are numbers. */
function badNumber(value: unknown, path = ""): string | null {
  if (typeof value === "number") return Number.isFinite(value) ? null : `${path} is ${value}`;
  if (value === null || typeof value !== "object") return null;
  for (const [key, one] of Object.entries(value)) {
    const found = badNumber(one, `${path}.${key}`);
    if (found !== null) return found;
  }
  return null;
}

/** A fault is one sentence to a person: nothing of the program's own in it. */
function badFault({ file, place, message }: InputFault): string | null {
  const words = `${place} ${message}`;
  if (file !== "a.yaml" || message.trim() === "") return `a fault without words: ${words}`;
  if (/\[object |undefined|function |\bat .*\.ts:/.test(words)) return `a fault says: ${words}`;
  return null;
}

/**
 * Makes a YAML file from a seed and reads it as the command would. Gives back what is wrong (a thrown
 * error, a pool with something in it that is no number, a second of processor time), null where
 * nothing is.
 */
export function tryYaml(name: YamlName, seed: number): string | null {
  const random = randomFrom(seed);
  const bytes = sheetBytes(random, yamlText(random, name));
  const start = process.cpuUsage();
  const emit = process.emitWarning;
  let warned: string | null = null;
  process.emitWarning = (warning: string | Error) => {
    warned = `a library warns the user: ${warning}`;
  };
  try {
    const read = readers[name](decodeFile(bytes).text, "a.yaml");
    if (!read.ok && read.error.length === 0) return "neither a value nor a fault";
    const wrong = read.ok
      ? badNumber(read.value)
      : (read.error.map(badFault).find((one) => one !== null) ?? null);
    if (wrong !== null || warned !== null) return wrong ?? warned;
  } catch (error) {
    return error instanceof Error ? (error.stack ?? error.message) : String(error);
  } finally {
    process.emitWarning = emit;
  }
  const { user, system } = process.cpuUsage(start);
  const seconds = (user + system) / 1e6;
  return seconds > 1 ? `took ${seconds.toFixed(1)} s for ${bytes.length} bytes` : null;
}
