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

const mappingsOf = (given: unknown, change: (one: Mapping) => unknown): unknown =>
  Array.isArray(given) ? given.map((one) => (isMapping(one) ? change(one) : one)) : given;

const eachFilled = (given: unknown, standard: Mapping): unknown =>
  mappingsOf(given, (one) => filled(one, standard));

const plainLink = { fouled_if_contaminated: 0.7, intermittent: 0, cable_break: 0 };

/** The first version knew no classes: a link that names one has its class's figure. */
const plainLinkOf = (link: Mapping): Mapping =>
  filled(
    link,
    link["class"] === undefined ? { contaminated: 0, ...plainLink } : plainLink,
  ) as Mapping;

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
    ...(file["chain"] === undefined ? {} : { chain: mappingsOf(file["chain"], plainLinkOf) }),
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
