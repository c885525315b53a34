import { plainFigures } from "../../domain/assumed.ts";

/**
 * What `model: plain` stands for where the file itself is silent: the first version's figures, put in
 * before the schema's own defaults can be. Values of a wrong shape are left as they are, for the
 * schema to name.
 */

type Mapping = Readonly<Record<string, unknown>>;

const isMapping = (value: unknown): value is Mapping =>
  typeof value === "object" && value !== null && !Array.isArray(value);

/** The mapping with each of `standard`'s keys that it lacks; anything else comes back as it is. */
const filled = (given: unknown, standard: Mapping): unknown =>
  given === undefined || isMapping(given) ? { ...standard, ...(given as Mapping) } : given;

const eachFilled = (given: unknown, standard: Mapping): unknown =>
  Array.isArray(given) ? given.map((one) => (isMapping(one) ? filled(one, standard) : one)) : given;

const plainLink = { contaminated: 0, fouled_if_contaminated: 0.7, intermittent: 0, cable_break: 0 };

export function plainForm(file: unknown): unknown {
  if (!isMapping(file) || file["model"] !== "plain") return file;
  const { sourceOhms, loadOhms, fouled } = plainFigures;
  const source = { source_ohms: sourceOhms };
  const meter = { load_ohms: loadOhms };
  const single = { median_ohms: fouled.medianOhms, log_sd: fouled.logSd };
  const contact = filled(file["contact"], { fouled: single });
  return {
    ...file,
    ...(file["supplies"] === undefined
      ? { supply: filled(file["supply"], source) }
      : { supplies: eachFilled(file["supplies"], source) }),
    meters: eachFilled(file["meters"] ?? [{ name: "deck", resolution: 0.01 }], meter),
    ...(file["chain"] === undefined ? {} : { chain: eachFilled(file["chain"], plainLink) }),
    contact: isMapping(contact)
      ? {
          ...contact,
          fouled: Array.isArray(contact["fouled"])
            ? contact["fouled"]
            : filled(contact["fouled"], single),
        }
      : contact,
  };
}
