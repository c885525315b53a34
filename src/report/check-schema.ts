import { conducts, explanationKinds } from "../domain/explanation-kinds.ts";
import { english } from "../words/english.ts";
import { CHECK_SCHEMA } from "./check-json.ts";
import {
  answer,
  byName,
  circuit,
  count,
  estimate,
  laneOrNull,
  list,
  number,
  object,
  oneOf,
  place,
  probability,
  probabilityOrNull,
  type Schema,
  text,
  textOrNull,
} from "./schema-parts.ts";

const { verdicts } = english;

/** One walk of the answer: codes are listed where the program's own tables of them stand. */
export const checkedWalk = object({
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
      verdict: oneOf(Object.keys(verdicts.verdicts)),
      reason: oneOf([
        "within-limit",
        ...Object.keys(verdicts.weaknesses),
        ...Object.keys(verdicts.doubts),
      ]),
      underLimit: probabilityOrNull,
      conducting: list(
        object({ kind: oneOf(explanationKinds.filter(conducts)), point: text, probability }),
      ),
    }),
  ),
  connectors: list(
    object({
      ...place,
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
  readAgain: list(object({ ...circuit, point: text, why: oneOf(Object.keys(verdicts.doubts)) })),
});

/** The JSON Schema of `check --json`. Every key is always there, and no other. */
export const checkSchema: Schema = answer(
  CHECK_SCHEMA,
  "What dropwise check --json prints",
  object({
    schema: { const: CHECK_SCHEMA },
    pool: text,
    walks: list(checkedWalk),
    rows: object({ in: count, used: count, rejected: count, repeats: count }),
    rejected: list(object({ file: text, line: count, reason: text, text })),
  }),
);
