import { explanationKinds } from "../domain/explanation-kinds.ts";
import { CHECK_SCHEMA } from "./check-json.ts";
import { doubtWords, verdictNames, weaknessNames } from "./verdict-words.ts";

/**
 * The JSON Schema of `check --json`. Every key is always there, and no other; codes are listed where
 * the program's own tables of them stand.
 */
type Schema = Readonly<Record<string, unknown>>;

const object = (properties: Readonly<Record<string, Schema>>): Schema => ({
  type: "object",
  required: Object.keys(properties),
  additionalProperties: false,
  properties,
});
const list = (items: Schema): Schema => ({ type: "array", items });
const oneOf = (codes: readonly string[]): Schema => ({ enum: codes });
const byName = (values: Schema): Schema => ({ type: "object", additionalProperties: values });

const text: Schema = { type: "string" };
const textOrNull: Schema = { type: ["string", "null"] };
const number: Schema = { type: "number" };
const count: Schema = { type: "integer", minimum: 0 };
const probability: Schema = { type: "number", minimum: 0, maximum: 1 };
const probabilityOrNull: Schema = { type: ["number", "null"], minimum: 0, maximum: 1 };
const lane: Schema = { type: ["string", "number"] };
const laneOrNull: Schema = { type: ["string", "number", "null"] };
const numberOrNull: Schema = { type: ["number", "null"] };
const estimate = object({ median: numberOrNull, low: numberOrNull, high: numberOrNull });

const circuit = { lane: laneOrNull, device: text, end: textOrNull };

const walk = object({
  walk: text,
  informedBy: list(text),
  logEvidence: number,
  fit: object({ p: probabilityOrNull, worst: list(object({ ...circuit, point: text })) }),
  emf: estimate,
  sourceOhms: { anyOf: [estimate, { type: "null" }] },
  loads: byName(estimate),
  noise: byName(estimate),
  drift: estimate,
  circuits: list(
    object({
      ...circuit,
      verdict: oneOf(Object.keys(verdictNames)),
      reason: oneOf(["within-limit", ...Object.keys(weaknessNames), ...Object.keys(doubtWords)]),
      underLimit: probabilityOrNull,
      conducting: list(
        object({ kind: oneOf(["stuck", "leaking", "wet"]), point: text, probability }),
      ),
    }),
  ),
  connectors: list(
    object({
      ...{ connector: text, point: text, lane: laneOrNull, lanes: list(lane) },
      ...{ device: textOrNull, end: textOrNull },
      ...{ atFault: probability, voltsLost: number, circuits: list(text) },
    }),
  ),
  contacts: list(
    object({
      ...{ ...circuit, point: text, sound: probability, fouled: probability, open: probability },
      ...{ intermittent: probability, ohms: estimate },
    }),
  ),
  explanations: list(
    object({
      ...{ kind: oneOf(explanationKinds), lane: laneOrNull, device: textOrNull, end: textOrNull },
      ...{ point: textOrNull, of: textOrNull, probability },
    }),
  ),
  readAgain: list(object({ ...circuit, point: text, why: oneOf(Object.keys(doubtWords)) })),
});

export const checkSchema: Schema = {
  $schema: "https://json-schema.org/draft/2020-12/schema",
  title: "What dropwise check --json prints",
  ...object({
    schema: { const: CHECK_SCHEMA },
    pool: text,
    walks: list(walk),
    rows: object({ in: count, used: count, rejected: count, repeats: count }),
    rejected: list(object({ file: text, line: count, reason: text, text })),
  }),
};
