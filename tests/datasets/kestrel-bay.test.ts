import { existsSync, readdirSync, readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import { parse } from "csv-parse/sync";
import { describe, expect, test } from "vitest";
import { demoFiles } from "../../datasets/demo-files.ts";
import { demoPicture } from "../../datasets/demo-picture.ts";
import { diagnose } from "../../src/diagnosis/diagnose.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { volts } from "../../src/domain/units.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { dataPackageStandard } from "./data-package-standard.ts";

const folder = "datasets/kestrel-bay";
const textOf = (name: string): string => readFileSync(`${folder}/${name}`, "utf8");
type Row = Readonly<Record<string, string>>;
const rowsOf = (name: string): Row[] => parse(textOf(name), { columns: true });

interface Field {
  readonly name: string;
  readonly type: string;
  readonly description: string;
  readonly constraints?: {
    minimum?: number;
    maximum?: number;
    enum?: string[];
    required?: boolean;
  };
}
interface Resource {
  readonly name: string;
  readonly path: string;
  readonly schema?: { readonly fields: readonly Field[] };
}
const descriptor: { name: string; resources: Resource[]; licenses: { name: string }[] } =
  JSON.parse(textOf("datapackage.json"));
const tables = descriptor.resources.filter(({ schema }) => schema !== undefined);

test.each(Object.entries(demoFiles()))("%s is what the generator makes", (name, text) => {
  expect(textOf(name)).toBe(text);
});

test("README's picture is the lane map that this version draws of them", async () => {
  expect(readFileSync("datasets/lane-map.svg", "utf8")).toBe(await demoPicture());
}, 60_000);

// What the standard asks stands in data-package-standard.ts.
describe("datapackage.json", () => {
  const valid = new Ajv2020({ strict: false }).compile(dataPackageStandard);

  test("is what the Data Package standard asks for", () => {
    expect(valid(descriptor), JSON.stringify(valid.errors)).toBe(true);
  });

  test.each<[string, (broken: typeof descriptor) => unknown]>([
    ["no resource", (broken) => broken.resources.splice(0)],
    ["a resource without a name", (broken) => Object.assign(broken.resources[0]!, { name: "" })],
    ["data beside a path", (broken) => Object.assign(broken.resources[0]!, { data: [] })],
    [
      "a path out of the package",
      (broken) => Object.assign(broken.resources[0]!, { path: "a/../../b.csv" }),
    ],
    ["a path of Windows", (broken) => Object.assign(broken.resources[0]!, { path: "a\\b.csv" })],
    ["a path from the root", (broken) => Object.assign(broken.resources[0]!, { path: "/b.csv" })],
    [
      "a type of field that is none",
      (broken) => Object.assign(broken.resources[0]!.schema!.fields[0]!, { type: "lane" }),
    ],
    [
      "a least value of a text",
      (broken) =>
        Object.assign(broken.resources[0]!.schema!.fields[0]!, { constraints: { minimum: 1 } }),
    ],
    [
      "a licence without a name",
      (broken) => Object.assign(broken.licenses[0]!, { name: "MIT or so" }),
    ],
  ])("so it would not be with %s", (_, breaking) => {
    const broken = structuredClone(descriptor);
    breaking(broken);
    expect(valid(broken)).toBe(false);
  });

  test("names the package, its licence and every file of the folder", () => {
    expect(descriptor.name).toMatch(/^[a-z0-9._-]+$/);
    expect(descriptor.licenses[0]?.name).toBe("MIT");
    const described = descriptor.resources.map(({ path }) => path);
    expect(["datapackage.json", ...described].sort()).toEqual(readdirSync(folder).sort());
  });

  test("gives each resource a unique plain name and a path that exists", () => {
    const names = descriptor.resources.map(({ name }) => name);
    expect(new Set(names).size).toBe(names.length);
    for (const { name, path } of descriptor.resources) {
      expect(name).toMatch(/^[a-z0-9._-]+$/);
      expect(path).not.toMatch(/^\/|\.\./);
      expect(existsSync(`${folder}/${path}`)).toBe(true);
    }
  });

  test.each(tables)("describes the columns of $path in their order", ({ path, schema }) => {
    const header: string[][] = parse(textOf(path), { toLine: 1 });
    expect(schema!.fields.map(({ name }) => name)).toEqual(header[0]);
    for (const { type, description } of schema!.fields) {
      expect(["integer", "number", "string", "datetime"]).toContain(type);
      expect(description.length).toBeGreaterThan(10);
    }
  });

  test("states the unit of every measured quantity", () => {
    const text = JSON.stringify(tables);
    for (const unit of ["V", "min", "currency"]) expect(text).toContain(`"unit":"${unit}"`);
  });
});

const breaks = (value: string, { type, constraints }: Field): boolean => {
  if (value === "") return constraints?.required === true;
  if (constraints?.enum && !constraints.enum.includes(value)) return true;
  if (type !== "number" && type !== "integer") return false;
  const x = Number(value);
  const { minimum = -Infinity, maximum = Infinity } = constraints ?? {};
  return !Number.isFinite(x) || x < minimum || x > maximum;
};

test("the schema refuses exactly the four typing errors", () => {
  const fields = descriptor.resources[0]!.schema!.fields;
  const broken = rowsOf("readings.csv").flatMap((row) =>
    fields.filter((field) => breaks(row[field.name] ?? "", field)).map(({ name }) => row[name]),
  );
  expect(broken.sort()).toEqual(["11", "4,9l", "49.1", "palte"]);
  const work = descriptor.resources[1]!.schema!.fields;
  const wrong = rowsOf("work.csv").flatMap((row) =>
    work.filter((field) => breaks(row[field.name] ?? "", field)),
  );
  expect(wrong).toEqual([]);
});

const pool = (() => {
  const result = readPool(textOf("pool.yaml"), "pool.yaml");
  if (!result.ok) throw new Error("the demo's pool file does not read");
  return result.value;
})();

/** Rows of one day as readings, typing errors left out; intake has its own tests. */
const walk = (day: string): Reading[] =>
  rowsOf("readings.csv")
    .map((row, index) => ({ row, line: index + 2 }))
    .filter(({ row }) => row["taken_at"]?.startsWith(day) && Number(row["volts"]) < 7.5)
    .filter(({ row }) => row["lane"] !== "11" && row["point"] !== "palte")
    .map(({ row, line }) => ({
      lane: row["lane"] === "none" ? null : Number(row["lane"]),
      device: row["device"] ?? "",
      end: null,
      id: null,
      point: row["point"] ?? "",
      volts: volts(Number(row["volts"])),
      step: volts(0.01),
      takenAt: {
        text: row["taken_at"] ?? "",
        day,
        seconds: Date.parse(`${row["taken_at"]}Z`) / 1000,
      },
      walk: day,
      meter: "deck",
      meterOn: row["meter_on"] === "yes",
      state: "rest",
      by: null,
      note: null,
      line,
    }));

const suspects = (day: string): string[] =>
  diagnose(pool, walk(day))
    .connectors.filter(({ atFault }) => atFault > 0.5)
    .map(({ point, lane, device }) => [point, lane, device].filter((x) => x !== null).join(" "))
    .sort();

// What was put into the season by hand (datasets/demo-season.ts) must be what comes out.
test("the latest walk shows its three kinds of trouble and nothing else", () => {
  expect(suspects("2026-05-02")).toEqual(["harness 6", "plate 7", "pod 3 touchpad"]);
});

test("the plate of lane 1 is accused before its cleaning and cleared after it", () => {
  expect(suspects("2026-04-04")).toContain("plate 1");
  expect(suspects("2026-04-11")).not.toContain("plate 1");
});

test("ten walks were made", () => {
  const days = rowsOf("readings.csv").map((row) => row["taken_at"]?.slice(0, 10));
  expect(new Set(days).size).toBe(10);
});
