/** The few kinds of value that answers in JSON are made of, as JSON Schema (draft 2020-12). */
export type Schema = Readonly<Record<string, unknown>>;

/** Where schemas say they are: names, not addresses to be fetched. */
const HOME = "https://dropwise.example/schemas";

/** Every key is always there, and no other. */
export const object = (properties: Readonly<Record<string, Schema>>): Schema => ({
  type: "object",
  required: Object.keys(properties),
  additionalProperties: false,
  properties,
});

/** These keys are always there, beside others that may change without a new version. */
export const atLeast = (properties: Readonly<Record<string, Schema>>): Schema => ({
  ...object(properties),
  additionalProperties: true,
});

export const list = (items: Schema): Schema => ({ type: "array", items });
export const oneOf = (codes: readonly string[]): Schema => ({ enum: codes });
export const byName = (values: Schema): Schema => ({
  type: "object",
  additionalProperties: values,
});
export const orNull = (schema: Schema): Schema => ({ anyOf: [schema, { type: "null" }] });
export const says = (description: string, schema: Schema): Schema => ({ ...schema, description });

export const text: Schema = { type: "string" };
export const textOrNull: Schema = { type: ["string", "null"] };
export const yesNo: Schema = { type: "boolean" };
export const number: Schema = { type: "number" };
export const numberOrNull: Schema = { type: ["number", "null"] };
export const count: Schema = { type: "integer", minimum: 0 };
export const probability: Schema = { type: "number", minimum: 0, maximum: 1 };
export const probabilityOrNull: Schema = { type: ["number", "null"], minimum: 0, maximum: 1 };
export const day: Schema = { type: "string", pattern: "^\\d{4}-\\d{2}-\\d{2}$" };
const lane: Schema = { type: ["string", "number"] };
export const laneOrNull: Schema = { type: ["string", "number", "null"] };
export const estimate = says(
  "Median and 90 % interval; null where it is infinite.",
  object({ median: numberOrNull, low: numberOrNull, high: numberOrNull }),
);

/** A circuit as every answer names it. */
export const circuit = { lane: laneOrNull, device: text, end: textOrNull };

/** A connector's place as every answer names it. */
export const place = {
  ...{ connector: text, point: text, lane: laneOrNull, lanes: list(lane) },
  ...{ device: textOrNull, end: textOrNull },
};

export const rejected = says(
  "Rows that could not be used.",
  list(atLeast({ file: text, line: count, reason: text, text })),
);

/** The whole answer of a command, `dropwise-decide-2`. */
export const answer = (name: string, title: string, body: Schema): Schema => ({
  $schema: "https://json-schema.org/draft/2020-12/schema",
  $id: `${HOME}/${name}.schema.json`,
  title,
  ...body,
});
