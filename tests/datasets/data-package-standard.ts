/**
 * What the Data Package standard, version 2.0 (datapackage.org: Data Package, Data Resource, Table
 * Schema), asks of a descriptor, in this project's own words and as far as tables in files go. The
 * standard publishes a JSON Schema of its own, which no package on npm carries in this version.
 */

const text = { type: "string", minLength: 1 };
const texts = { type: "array", minItems: 1, items: text };

/** Relative, in POSIX form, inside the package; or a fully qualified address. */
const path = {
  type: "string",
  pattern: "^(https?://.*|(?![./~])(?!.*(\\\\|:|/\\.\\./|/\\.\\.$)).+)$",
};

const bounds = ["minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum"];
const lengths = ["minLength", "maxLength"];

/** Each type of a field, and what may be asked of its values beside `required` and `enum`. */
const types: Readonly<Record<string, readonly string[]>> = {
  string: ["unique", "pattern", ...lengths],
  ...{ number: ["unique", ...bounds], integer: ["unique", ...bounds] },
  ...{ date: ["unique", ...bounds], time: ["unique", ...bounds], datetime: ["unique", ...bounds] },
  ...{ year: ["unique", ...bounds], yearmonth: ["unique", ...bounds], boolean: [] },
  ...{ duration: ["unique", ...bounds], geopoint: ["unique"], geojson: ["unique", ...lengths] },
  ...{ object: ["unique", "jsonSchema", ...lengths], array: ["unique", "jsonSchema", ...lengths] },
  any: ["unique"],
};

const field = {
  type: "object",
  required: ["name", "type"],
  properties: { name: text, title: text, description: text, format: text },
  oneOf: Object.entries(types).map(([type, constraints]) => ({
    properties: {
      type: { const: type },
      constraints: { propertyNames: { enum: ["required", "enum", ...constraints] } },
    },
  })),
};

const tableSchema = {
  type: "object",
  required: ["fields"],
  properties: {
    fields: { type: "array", minItems: 1, items: field },
    missingValues: { type: "array", uniqueItems: true, items: { type: "string" } },
  },
};

const resource = {
  type: "object",
  required: ["name"],
  oneOf: [{ required: ["path"] }, { required: ["data"] }],
  properties: {
    name: text,
    path: { oneOf: [path, { type: "array", minItems: 1, items: path }] },
    type: { const: "table" },
    ...{ title: text, description: text, format: text, encoding: text },
    mediatype: { type: "string", pattern: "^.+/.+$" },
    schema: tableSchema,
  },
};

const license = {
  type: "object",
  anyOf: [{ required: ["name"] }, { required: ["path"] }],
  properties: { name: { type: "string", pattern: "^[-a-zA-Z0-9._]+$" }, path, title: text },
};

/** A descriptor, as JSON Schema (draft 2020-12). */
export const dataPackageStandard = {
  type: "object",
  required: ["resources"],
  properties: {
    $schema: { const: "https://datapackage.org/profiles/2.0/datapackage.json" },
    ...{ name: text, title: text, description: text, version: text, keywords: texts },
    licenses: { type: "array", minItems: 1, items: license },
    resources: { type: "array", minItems: 1, items: resource },
  },
};
