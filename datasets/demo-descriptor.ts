import { devices, lanes, points, startLine } from "./demo-season.ts";

/** One column as the Data Package standard's Table Schema describes it. */
interface Field {
  readonly name: string;
  readonly type: "integer" | "number" | "string" | "datetime";
  readonly title: string;
  readonly description: string;
  readonly unit?: string;
  readonly format?: string;
  readonly constraints?: Readonly<Record<string, unknown>>;
}

const localTime = "%Y-%m-%dT%H:%M:%S";

const where = (shared: string): readonly Field[] => [
  {
    name: "lane",
    type: "string",
    title: "Lane",
    description: `Lane number, counted from the timer's side; none for the start's line${shared}.`,
    constraints: { enum: [...lanes.map(String), "none"] },
  },
  {
    name: "device",
    type: "string",
    title: "Device",
    description: `The lane's switch at the end of the path${shared}.`,
    constraints: { enum: [...devices, startLine.device] },
  },
  {
    name: "point",
    type: "string",
    title: "Point",
    description: "Place on the path just after a connector, in order from the timer out.",
    constraints: { required: true, enum: [...new Set([...points, ...startLine.points])] },
  },
];

const readingFields: readonly Field[] = [
  ...where(""),
  {
    name: "volts",
    type: "number",
    title: "Reading",
    description: "What the meter showed at this point, the switch at rest.",
    unit: "V",
    constraints: { required: true, minimum: 0, maximum: 7.5 },
  },
  {
    name: "taken_at",
    type: "datetime",
    title: "Taken at",
    description: "Local time of the reading (ISO 8601). The calendar day names the walk.",
    format: localTime,
  },
  {
    name: "meter_on",
    type: "string",
    title: "Meter switched on",
    description: "yes where the meter was switched on just before this reading.",
    constraints: { enum: ["yes"] },
  },
  { name: "by", type: "string", title: "By", description: "Initials of whoever read the meter." },
  { name: "note", type: "string", title: "Note", description: "Whatever was worth a remark." },
];

const workFields: readonly Field[] = [
  {
    name: "done_at",
    type: "datetime",
    title: "Done at",
    description: "Local time at which the work was finished (ISO 8601).",
    format: localTime,
    constraints: { required: true },
  },
  ...where("; empty where the connector is shared above it"),
  {
    name: "action",
    type: "string",
    title: "Action",
    description: "What was done to the connector.",
    constraints: { required: true, enum: ["cleaned", "replaced", "reseated"] },
  },
  {
    name: "minutes",
    type: "number",
    title: "Minutes",
    description: "Working time.",
    unit: "min",
    constraints: { minimum: 0 },
  },
  {
    name: "cost",
    type: "number",
    title: "Cost",
    description: "Parts and material, in the currency of the pool file.",
    unit: "currency",
    constraints: { minimum: 0 },
  },
  { name: "by", type: "string", title: "By", description: "Initials of whoever did it." },
  { name: "note", type: "string", title: "Note", description: "Whatever was worth a remark." },
];

const table = (name: string, title: string, description: string, fields: readonly Field[]) => ({
  name,
  type: "table",
  path: `${name}.csv`,
  title,
  description,
  format: "csv",
  mediatype: "text/csv",
  encoding: "utf-8",
  schema: { fields, missingValues: [""] },
});

/** The demo's descriptor after the Data Package standard (datapackage.org, version 2). */
export const demoDescriptor = (seed: number) => ({
  $schema: "https://datapackage.org/profiles/2.0/datapackage.json",
  name: "kestrel-bay",
  title: "Kestrel Bay, season 2026: volt readings on a timing path",
  description:
    "An invented facility: no real place, person or product. Ten walks of eight lanes, three " +
    `devices and four points, made by datasets/make-demo.ts with seed ${seed}. A plate contact ` +
    "fouls and is cleaned; a pod oxidises and does not come back; a harness connector takes in " +
    "water; a contact opens; a meter switches itself off; and four rows hold typing errors that " +
    "a reader must refuse, so that a validator reports exactly those four.",
  version: "1.0.0",
  licenses: [{ name: "MIT", title: "MIT License", path: "https://opensource.org/license/mit" }],
  resources: [
    table("readings", "Readings", "One row a reading, in the order taken.", readingFields),
    table("work", "Work", "What was done to the path.", workFields),
    {
      name: "pool",
      path: "pool.yaml",
      title: "Pool file",
      description: "The facility: lanes, devices, supply, meter and the chain of connectors.",
      format: "yaml",
      mediatype: "application/yaml",
      encoding: "utf-8",
    },
  ],
});
