import { stringify } from "yaml";
import { poolJsonSchema, poolSchema } from "./pool-schema.ts";

/** What a person says of a pool before anything was measured. */
export interface NewPool {
  readonly pool: string;
  readonly lanes: number | readonly (number | string)[];
  readonly devices: readonly (string | Readonly<Record<string, unknown>>)[];
  readonly ends?: readonly string[];
  /** Meters and links by the file's own keys. */
  readonly meters?: readonly Readonly<Record<string, unknown>>[];
  readonly chain?: readonly Readonly<Record<string, unknown>>[] | undefined;
  /** The deck day's figures, by the file's own keys. */
  readonly meet?: Readonly<Record<string, unknown>>;
}

/** As much of a JSON Schema as is needed to write a file by it. */
interface Schema {
  readonly description?: string;
  readonly default?: unknown;
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly items?: Schema | false;
  readonly required?: readonly string[];
  /** Read, but written into no new file. */
  readonly deprecated?: boolean;
  readonly anyOf?: readonly Schema[];
}

/** Of a key that takes several kinds of value, the mapping. */
const asMapping = (schema: Schema): Schema => {
  const mapping = schema.anyOf?.find(({ properties }) => properties !== undefined);
  return mapping?.properties === undefined ? schema : { ...schema, properties: mapping.properties };
};

/** What a new file has nothing to say of: old keys, and what only the facility itself can fill in. */
const isLeftOut = (schema: Schema, value: unknown): boolean =>
  schema.deprecated === true ||
  (value === undefined && (schema.properties === undefined || (schema.required ?? []).length > 0));

/** One value on one line. */
const inline = (value: unknown): string =>
  stringify(value, { collectionStyle: "flow", lineWidth: 0 }).trim();

const comment = (text: string | undefined, margin: string): string[] =>
  text === undefined ? [] : [`${margin}# ${text}`];

/** The keys that an entry of a list may have, each with its one line of why. */
function legend(entry: Schema, margin: string): string[] {
  const properties = Object.entries(entry.properties ?? {});
  return properties.flatMap(([key, { description, default: standard }]) => {
    const value = standard === undefined ? "" : ` Default: ${inline(standard)}.`;
    return comment(`  ${key}: ${description ?? ""}${value}`, margin);
  });
}

/** What stands for a key when nobody says anything: its default, every part of it filled in. */
function standardOf(schema: Schema): unknown {
  if (schema.properties === undefined) return schema.default;
  const parts = Object.entries(schema.properties).map(([key, part]) => [key, standardOf(part)]);
  return Object.fromEntries(parts.filter(([, value]) => value !== undefined));
}

/** One key with its comment and its value, as lines. */
function keyLines(key: string, schema: Schema, value: unknown, margin: string): string[] {
  const lines = comment(schema.description, margin);
  if (value === undefined) return [...lines, `${margin}# ${key}:`];
  if (schema.properties !== undefined) {
    const parts = value as Readonly<Record<string, unknown>>;
    const inner = Object.entries(schema.properties).flatMap(([name, part]) =>
      keyLines(name, part, parts[name], `${margin}  `),
    );
    return [...lines, `${margin}${key}:`, ...inner];
  }
  const isListOfMappings = schema.items && schema.items.properties !== undefined;
  if (!isListOfMappings || !Array.isArray(value))
    return [...lines, `${margin}${key}: ${inline(value)}`];
  const entries = value.map((entry) => `${margin}  - ${inline(entry)}`);
  return [...lines, ...legend(schema.items as Schema, margin), `${margin}${key}:`, ...entries];
}

/** A section that is off until its comment marks are taken away. */
const asleep = (lines: readonly string[]): string[] =>
  lines.map((line) => (line.startsWith("#") ? line : `# ${line}`));

/**
 * The text of a new pool file: every key with its default and one line of why, written from the
 * very schema that reads it. Sections that are off by default are there as comments. `schemaAt` is
 * where editors find the JSON Schema, as seen from the file; null leaves that line out.
 */
export function poolFileText(pool: NewPool, schemaAt: string | null): string {
  const file: Readonly<Record<string, unknown>> = poolSchema.parse(pool);
  const schema = poolJsonSchema() as Schema;
  const sections = Object.entries(schema.properties ?? {}).flatMap(([key, given]) => {
    const section = asMapping(given);
    const value = key in pool ? pool[key as keyof NewPool] : file[key];
    if (isLeftOut(section, value)) return [];
    if (value !== undefined) return [keyLines(key, section, value, "")];
    return [asleep(keyLines(key, section, standardOf(section), ""))];
  });
  const head = [
    ...(schemaAt === null ? [] : [`# yaml-language-server: $schema=${schemaAt}`]),
    "# A facility's timing path, for dropwise. Volts, ohms, metres, seconds, degrees Celsius.",
    "# All but pool, lanes and devices may be left out: what stands here is then the default.",
    "# Replace what you have measured.",
  ];
  return `${[head, ...sections].map((lines) => lines.join("\n")).join("\n\n")}\n`;
}
