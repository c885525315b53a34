import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { registerMeter } from "../../src/cli/meter.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { runCommand } from "./run-command.ts";

let folder = "";
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "dropwise-meter-"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Writes the sheet, runs the command on it. */
const meter = (sheet: string, ...args: string[]) => {
  const file = join(folder, "sheet.csv");
  writeFileSync(file, sheet);
  return runCommand([registerMeter], ["meter", file, ...args]);
};
const json = async (sheet: string, ...args: string[]) =>
  JSON.parse((await meter(sheet, "--json", ...args)).out);

/** Ohm's law, rounded to the display: 5.00 V behind each resistor over a load. */
const behind = (load: number, decimals = 2, resistors = [0, 10, 47, 100, 220, 470, 1000]) =>
  `ohms,volts\n${resistors.map((r) => `${r},${((5 * load) / (load + r)).toFixed(decimals)}`).join("\n")}\n`;

/** Three points, two people, two readings each. */
const people = `point,by,volts
plate,KM,4.90\nplate,KM,4.91\nplate,RB,4.91\nplate,RB,4.92
pod 3,KM,4.70\npod 3,KM,4.71\npod 3,RB,4.72\npod 3,RB,4.72
pod 4,KM,4.85\npod 4,KM,4.85\npod 4,RB,4.87\npod 4,RB,4.86
`;

describe("a sheet of known resistors", () => {
  test("gives back the meter of 1 kΩ and says what it shows", async () => {
    const { out, err, status } = await meter(behind(1000));
    expect(err).toBe("");
    expect(status).toBe(0);
    expect(out).toMatch(/^This meter shows a contact of [\d.]+ ohm or more \(95 % sure; /);
    expect(out).toContain("to call a path sound it must show one of 60 ohm.");
    expect(out).toMatch(/load_ohms: (99\d|100\d)/);
    expect(out).toContain("tolerance of the resistors");
  });

  test("the same as JSON, with intervals around the truth", async () => {
    const { calibration, detection, gauge } = await json(behind(1000));
    expect(calibration.loadOhms.low).toBeLessThan(1000);
    expect(calibration.loadOhms.high).toBeGreaterThan(1000);
    expect(calibration.emf.low).toBeLessThan(5);
    expect(calibration.emf.high).toBeGreaterThan(5);
    expect(calibration.residuals).toHaveLength(7);
    expect(detection).toMatchObject({
      unit: "ohm",
      blind: false,
      mustShow: 60,
      confidence: 0.95,
    });
    expect(gauge).toBeNull();
  });

  test("what it proposes for the pool file is taken by the pool file, also where no noise is seen", async () => {
    for (const sheet of [behind(1000), "ohms,volts\n0,5.00\n100,4.55\n470,3.40\n1000,2.50\n"]) {
      const { out } = await meter(sheet);
      const [, entry] = /For the pool file: (\{[^}]*\})/.exec(out.replace(/\s+/g, " "))!;
      const pool = readPool(`pool: A\nlanes: 1\ndevices: [pad]\nmeters: [${entry}]\n`, "p");
      expect(pool.ok ? pool.value.meters[0]!.noise : pool.error).toBeGreaterThan(0);
    }
  });

  test("a meter of 10 MΩ is called blind, exit 1, bounds without end are null", async () => {
    const { out, status } = await meter(behind(10e6));
    expect(status).toBe(1);
    expect(out).toMatch(/^This meter is blind on this path/);
    expect(out).toContain("Call no path sound on it");
    const found = await json(behind(10e6));
    expect(found.calibration.loadOhms.high).toBeNull();
    expect(found.detection).toMatchObject({ blind: true, high: null });
  });

  test("resistors too small to tell the load leave the question open, and say so", async () => {
    const { out } = await meter(behind(1000, 1, [0, 1, 2, 3]));
    expect(out).toMatch(/^These readings do not tell whether this meter shows contact resistance/);
    expect(out).toContain("Larger resistors would tell.");
  });

  test("a surer answer asks for a larger contact, a finer display for a smaller one", async () => {
    const contact = async (...args: string[]) =>
      (await json(behind(1000), ...args)).detection.contact;
    expect(await contact("--confidence", "0.999")).toBeGreaterThan(await contact());
    expect(await contact("--step", "0.1")).toBeGreaterThan(await contact());
  });

  test("--pool judges it on that path: under a strict limit the same meter is blind", async () => {
    const pool = join(folder, "pool.yaml");
    writeFileSync(
      pool,
      "pool: Kestrel Bay\nmodel: plain\nlanes: 2\ndevices: [touchpad]\n" +
        // By hand: 1000 (5 / 4.97 - 1) = 6.04 ohm, less copper 3.0 and three sound contacts of 0.2.
        "limit_volts: 4.97\n",
    );
    const { out, status } = await meter(behind(1000), "--pool", pool);
    expect(status).toBe(1);
    expect(out).toMatch(/^This meter is blind on this path: it shows a contact of/);
    expect(out).toMatch(/to call a path sound it must show\s+one of 2\.44 ohm/);
  });

  test("a supply with 50 Ω inside is taken off the load", async () => {
    // Load and source stand in series with the resistor: only their sum, 1050 Ω, is in the slope.
    const { calibration } = await json(behind(1050), "--source-ohms", "50");
    expect(Math.abs(calibration.loadOhms.median - 1000)).toBeLessThan(15);
  });

  test("a mistyped reading is pointed out by its line", async () => {
    const sheet = behind(1000, 3, [0, 10, 47, 100, 220, 330, 470, 680, 1000]);
    const { out } = await meter(sheet.replace("100,4.545", "100,4.345"));
    expect(out).toMatch(/Line 5 \(100 ohm, 4\.345 V\) does not belong: 0\.\d+ V under the others/);
  });
});

describe("a sheet of several people", () => {
  test("with no known load is in units of the load, and says so", async () => {
    const { out, status } = await meter(people);
    expect(status).toBe(0);
    expect(out).toMatch(/^This meter shows a contact of [\d.]+ times its load or more/);
    expect(out).toContain("Its load is not known");
    const { detection } = await json(people);
    expect(detection).toMatchObject({ unit: "meter load", blind: null });
  });

  test("with the load given is in ohms: the same multiple of it, but for the path", async () => {
    const inUnits = (await json(people)).detection.contact;
    const inOhms = (await json(people, "--load", "1000")).detection;
    expect(inOhms.unit).toBe("ohm");
    // 3 Ω of copper and 0.8 Ω of sound contacts beside 1000 Ω: under one per cent and 0.2 Ω.
    expect(Math.abs(inOhms.contact - 1000 * inUnits)).toBeLessThan(0.01 * inOhms.contact + 0.25);
  });

  test("whose display never moves is asked whether it is fine enough", async () => {
    const still = people.replaceAll(/,\d\.\d+/g, ",4.9");
    expect((await meter(still)).out).toContain("do not scatter at all");
  });

  test("who differ on particular points only are asked how they hold the leads", async () => {
    const crossed = people.replaceAll("pod 4,RB,4.8", "pod 4,RB,4.7");
    expect((await meter(crossed)).out).toMatch(/do they hold the\s+leads alike\?/);
  });

  test("tells a person's own scatter from that between people", async () => {
    const { gauge } = await json(people);
    expect(gauge).toMatchObject({ points: 3, people: 2, repeats: 2 });
    // Mean of the squared half differences of six pairs: (4 * 0.01^2 / 2) / 6 (plain arithmetic).
    expect(gauge.anova.repeat.sumOfSquares / gauge.anova.repeat.degreesOfFreedom).toBeCloseTo(
      (4 * 0.01 ** 2) / 2 / 6,
      10,
    );
    expect(gauge.reproducibility).toBeGreaterThan(gauge.repeatability.median);
  });
});

test("a sheet of resistors that two people read twice gives both", async () => {
  const rows = ["ohms,by,volts"];
  for (const r of [0, 100, 1000])
    for (const by of ["KM", "RB"])
      for (const off of [0, 0.01]) rows.push(`${r},${by},${(5000 / (1000 + r) + off).toFixed(2)}`);
  const found = await json(rows.join("\n"));
  expect(found.calibration.readings).toBe(12);
  expect(found.gauge).toMatchObject({ points: 3, people: 2, repeats: 2 });
});

describe("input that cannot be used is one clear sentence and exit 2", () => {
  test.each([
    ["ohms,volts\n0,5.00\n", [], "has 1 usable readings behind resistors"],
    ["ohms,volts\n47,5.00\n47,5.01\n47,5.00\n", [], "one resistor only (47 ohm)"],
    ["ohms,volts\n0,4.00\n100,4.10\n200,4.20\n500,4.50\n1000,5.00\n", [], "rise with the resistor"],
    ["point,by,volts\npod,KM,5\npod,KM,5\n", [], "has 1 points and 1 people"],
    [people.replace("pod 4,RB,4.86\n", ""), [], "1 readings of 'pod 4' by 'RB' and 2 elsewhere"],
    ["ohms,amps\n0,5\n", [], "has no column volts"],
    [people, ["--confidence", "2"], "--confidence is '2': a number from 0.5 to 0.9999"],
    [people, ["--load", "many"], "--load is 'many'"],
    [people, ["--pool", "nowhere.yaml"], "nowhere.yaml"],
  ])("%j %j: %s", async (sheet, args, message) => {
    const { out, err, status } = await meter(sheet, ...args);
    expect(status).toBe(2);
    expect(out).toBe("");
    expect(err).toContain(message);
    expect(err.trimEnd().split("\n")).toHaveLength(1);
  });

  test("rows that cannot be used are listed on standard error, the rest counts", async () => {
    const { err, status } = await meter(`${behind(1000)}47,0\n`);
    expect(status).toBe(0);
    expect(err).toContain("line 9: volts is 0");
  });
});

test("--help carries both kinds of sheet and an example", async () => {
  const { out, status } = await runCommand([registerMeter], ["meter", "--help"]);
  expect(status).toBe(0);
  expect(out).toContain("$ dropwise meter resistors.csv");
  expect(out).toContain("point,by,volts");
});
