import { csvLine } from "../src/intake/csv-cell.ts";
import { demoDescriptor } from "./demo-descriptor.ts";
import { demoReadings } from "./demo-season.ts";
import { demoWork } from "./demo-work.ts";

export const demoSeed = 20_260_110;

const snakeCase = (key: string): string =>
  key.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);

/** Rows of like records under a header of their keys. */
const csvText = (rows: readonly object[]): string => {
  const header = csvLine(Object.keys(rows[0] ?? {}).map(snakeCase));
  return header + rows.map((row) => csvLine(Object.values(row))).join("");
};

/** Every made file of datasets/kestrel-bay by name; pool.yaml is written by hand. */
export const demoFiles = (): Readonly<Record<string, string>> => ({
  "readings.csv": csvText(demoReadings(demoSeed)),
  "work.csv": csvText(demoWork),
  "datapackage.json": `${JSON.stringify(demoDescriptor(demoSeed), null, 2)}\n`,
});
