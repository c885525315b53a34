import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { ValidateFunction } from "ajv";
import { Ajv2020 } from "ajv/dist/2020.js";
import { afterAll, describe, expect, test } from "vitest";
import { registerCheck } from "../../src/cli/check.ts";
import type { Register } from "../../src/cli/command.ts";
import { registerDecide } from "../../src/cli/decide.ts";
import { registerMemo } from "../../src/cli/memo.ts";
import { registerNext } from "../../src/cli/next.ts";
import { registerReady } from "../../src/cli/ready.ts";
import { registerReport } from "../../src/cli/report.ts";
import { registerTrend } from "../../src/cli/trend.ts";
import type { Place } from "../../src/domain/place.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { readWorkLog } from "../../src/intake/read-work-log.ts";
import { answerSeason, type SeasonMessage } from "../../src/page/season-task.ts";
import type { SeasonDecisions } from "../../src/policy/season-decisions.ts";
import { answerSchemas } from "../../src/report/answer-schemas.ts";
import { CHECK_SCHEMA } from "../../src/report/check-json.ts";
import { checkSchema } from "../../src/report/check-schema.ts";
import { runCommand } from "../cli/run-command.ts";

/**
 * Every door is asked the same questions on the same files: which walk, which suspects, which
 * courses, what they cost. The answers must be one answer.
 */

const root = mkdtempSync(join(tmpdir(), "dropwise-doors-"));
afterAll(() => rmSync(root, { recursive: true, force: true }));

const HEAD = "taken_at,lane,device,point,volts,state";
const WIRES = { timer: 0.1, harness: 0.7, plate: 2.7, pod: 3 } as const;

/** One walk of two lanes: lane 2's plate at these ohms, all other contacts 0.2 ohm, by equation (1). */
const walk = (at: string, plate: number): string[] =>
  [1, 2].flatMap((lane) =>
    Object.entries(WIRES).map(([point, wire], k) => {
      const fault = lane === 2 && k >= 2 ? plate : 0;
      const volts = (5000 / (1000 + wire + 0.2 * (k + 1) + fault)).toFixed(2);
      return `${at},${lane},touchpad,${point},${volts},rest`;
    }),
  );
const sheet = (...rows: readonly string[][]): string => `${[HEAD, ...rows.flat()].join("\n")}\n`;

const plain = "pool: Kestrel Bay\nmodel: plain\nlanes: 2\ndevices: [touchpad]\n";
const whole = `pool: Kestrel Bay\nlanes: 2\ndevices: [touchpad]
supply: { emf: 5, emf_sd: 0.05, source_ohms: 0 }
meters: [{ name: deck, load_ohms: 1000, resolution: 0.01, noise: 0.02 }]
limit: { ohms: 40 }
`;
const grouped = `pool: Kestrel Bay\nmodel: plain\nlanes: "1-2"
devices: [touchpad, { name: start, lanes: none }]
chain:
  - { point: timer, connector: timer outlet, shared_by: pool, wire_ohms: 0.1 }
  - { point: harness, connector: harness connector, shared_by: [[1], [2]], wire_ohms: 0.6 }
  - { point: plate, connector: plate connector, shared_by: lane, wire_ohms: 2.0 }
  - { point: pod, connector: pod terminals, shared_by: device, wire_ohms: 0.3, except: { devices: [start] } }
`;
const start = (at: string): string[] => [`${at},none,start,timer,4.99,rest`];
const work = (...days: readonly string[]): string =>
  `done_at,lane,point,action\n${days.map((day) => `${day},2,plate,cleaned`).join("\n")}\n`;

const folders: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  "a single walk with work before it": {
    "pool.yaml": plain,
    "readings.csv": sheet(walk("2026-05-02T08:00", 80)),
    "work.csv": work("2026-04-25"),
  },
  "a late pressed reading": {
    "pool.yaml": plain,
    "readings.csv": sheet(walk("2026-04-25T08:00", 60), walk("2026-05-02T08:00", 80), [
      "2026-05-03T08:00,1,touchpad,pod,0.12,pressed",
    ]),
  },
  "a season with its work": {
    "pool.yaml": plain,
    "readings.csv": sheet(
      walk("2026-04-18T08:00", 70),
      walk("2026-04-25T08:00", 12),
      walk("2026-05-02T08:00", 75),
    ),
    "work.csv": work("2026-04-19"),
  },
  "work after the latest walk": {
    "pool.yaml": plain,
    "readings.csv": sheet(walk("2026-04-25T08:00", 70), walk("2026-05-02T08:00", 80)),
    "work.csv": work("2026-05-03"),
  },
  "walks that start from earlier ones": {
    "pool.yaml": whole,
    "readings.csv": sheet(
      walk("2026-04-18T08:00", 70),
      walk("2026-04-25T08:00", 68),
      walk("2026-05-02T08:00", 75),
    ),
    "work.csv": work("2026-04-26"),
  },
  "a start's line and two harnesses": {
    "pool.yaml": grouped,
    "readings.csv": sheet(
      walk("2026-04-25T08:00", 50),
      start("2026-04-25T08:00"),
      walk("2026-05-02T08:00", 80),
      start("2026-05-02T08:00"),
    ),
  },
};

type Json = Record<string, unknown>;

/** By name of the schema: whether an answer fits it. */
const fits: Readonly<Record<string, ValidateFunction>> = Object.fromEntries(
  [[CHECK_SCHEMA, checkSchema] as const, ...answerSchemas].map(([name, schema]) => [
    name,
    new Ajv2020({ allErrors: true, allowUnionTypes: true }).compile(schema),
  ]),
);
interface PlacedJson extends Place {
  readonly atFault: number;
}
/** A place of an answer in JSON, which does not say how it is shared. */
const nameOf = ({ point, lane, device, end, lanes }: Place): string =>
  JSON.stringify([point, lane, device, end, lanes]);

async function ask(register: Register, args: readonly string[]): Promise<Json> {
  const { out, err } = await runCommand([register], args);
  expect(out, err).not.toBe("");
  return JSON.parse(out) as Json;
}

function pageSays(folder: string): SeasonDecisions {
  const text = (name: string): string => readFileSync(join(folder, name), "utf8");
  const pool = readPool(text("pool.yaml"), "pool.yaml");
  if (!pool.ok) throw new Error("refused");
  const { readings } = readReadings(text("readings.csv"), pool.value, "readings.csv");
  const entries = folders[folder.split("/").at(-1)!]?.["work.csv"];
  const log = entries === undefined ? [] : readWorkLog(entries, pool.value, "work.csv").entries;
  const said: SeasonMessage[] = [];
  answerSeason({ task: "decide", pool: pool.value, readings, work: log }, (one) => said.push(one));
  const last = said.at(-1)!;
  if (!("answer" in last) || !("decisions" in last.answer)) throw new Error(JSON.stringify(last));
  return last.answer as SeasonDecisions;
}

describe.each(Object.entries(folders))("%s", (name, files) => {
  const folder = join(root, name);
  mkdirSync(folder);
  for (const [file, text] of Object.entries(files)) writeFileSync(join(folder, file), text);
  const pool = join(folder, "pool.yaml");
  const readings = join(folder, "readings.csv");
  const common = ["--pool", pool, "--json", readings];

  test("all doors name one walk, one set of suspects and one price for each course", async () => {
    const check = await ask(registerCheck, ["check", "--latest", ...common]);
    const trend = await ask(registerTrend, ["trend", ...common]);
    const decide = await ask(registerDecide, ["decide", ...common]);
    const memo = await ask(registerMemo, ["memo", ...common]);
    const report = await ask(registerReport, ["report", ...common]);
    const ready = await ask(registerReady, ["ready", "--date", "2026-05-04", ...common]);
    const next = await ask(registerNext, ["next", ...common]);
    const page = pageSays(folder);

    for (const answer of [check, trend, decide, memo, report, ready, next]) {
      const schema = String(answer["schema"]);
      expect(fits[schema]?.(answer), JSON.stringify(fits[schema]?.errors?.slice(0, 3))).toBe(true);
    }

    const [latest] = check["walks"] as { walk: string; connectors: PlacedJson[] }[];
    for (const answer of [trend, decide, memo, report, ready, next]) {
      expect(answer["walk"], String(answer["schema"])).toBe(latest!.walk);
      expect(answer["pool"]).toBe("Kestrel Bay");
      expect(answer["schema"]).toMatch(/^dropwise-[a-z]+-2$/);
    }
    expect(report["check"]).toEqual(latest);
    const { rejected: ___, schema: ____, pool: _____, rows: ______, ...asTrend } = trend;
    expect(report["trend"]).toMatchObject({ circuits: asTrend["circuits"] });

    const suspects = latest!.connectors.filter(({ atFault }) => atFault >= 0.2).map(nameOf);
    const decided = [...(decide["decisions"] as Place[]), ...(decide["readAgain"] as Place[])];
    expect(decided.map(nameOf).sort()).toEqual(suspects.sort());
    const { rejected: _, ...asReported } = report["decide"] as Json;
    const { rejected: __, ...asDecided } = decide;
    expect(asReported).toEqual(asDecided);

    expect(page.decisions.map(({ place }) => nameOf(place))).toEqual(
      (decide["decisions"] as Place[]).map(nameOf),
    );
    for (const [i, decision] of page.decisions.entries()) {
      const same = (
        decide["decisions"] as { action: string; courses: { presentCost: number }[] }[]
      )[i]!;
      expect(decision.action).toBe(same.action);
      for (const [c, { presentCost }] of decision.courses.entries()) {
        expect(Math.abs(same.courses[c]!.presentCost / presentCost - 1)).toBeLessThan(0.01);
      }
    }
  }, 400_000);
});
