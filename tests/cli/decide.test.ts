import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { registerDecide } from "../../src/cli/decide.ts";
import { runCommand } from "./run-command.ts";

let folder = "";
const file = (name: string): string => join(folder, name);

const points = ["timer", "harness", "plate", "pod"];
/** What a 1000 ohm meter shows along a path with these contacts, wires as in the default chain. */
function volts(contacts: readonly number[]): string[] {
  const wires = [0.1, 0.6, 2, 0.3];
  let series = 0;
  return points.map((_, k) => {
    series += (wires[k] ?? 0) + (contacts[k] ?? 0);
    return (5000 / (1000 + series)).toFixed(2);
  });
}

/** One walk of four lanes: lane 3's plate connector at these ohms, everything else sound. */
const walk = (day: string, plate: number): string =>
  [1, 2, 3, 4]
    .flatMap((lane) =>
      volts([0.2, 0.2, lane === 3 ? plate : 0.2, 0.2]).map(
        (reading, k) => `${day},${lane},${points[k]},${reading}`,
      ),
    )
    .join("\n");

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "dropwise-decide-"));
  writeFileSync(
    file("pool.yaml"),
    "pool: Kestrel Bay\nmodel: plain\nlanes: 4\ndevices: [touchpad]\ncosts: { currency: EUR }\n",
  );
  const head = "taken_at,lane,point,volts\n";
  writeFileSync(file("one.csv"), `${head}${walk("2026-05-02", 80)}\n`);
  writeFileSync(file("sound.csv"), `${head}${walk("2026-05-02", 0.2)}\n`);
  // Cleaned three times, and the walk after each finds it as it was.
  const days = ["2026-05-02", "2026-05-09", "2026-05-16", "2026-05-23"];
  writeFileSync(file("stubborn.csv"), `${head}${days.map((day) => walk(day, 80)).join("\n")}\n`);
  writeFileSync(
    file("log.csv"),
    `done_at,lane,point,action\n${["2026-05-03", "2026-05-10", "2026-05-17"]
      .map((day) => `${day},3,plate,cleaned`)
      .join("\n")}\n`,
  );
  writeFileSync(file("nonsense.csv"), `${head}2026-05-02,1,plate,soup\n`);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const run = (...args: string[]) =>
  runCommand([registerDecide], ["decide", "--pool", file("pool.yaml"), ...args]);

describe("dropwise decide", () => {
  test("says what to do, in how long, where it turns, and what can hurt beside it", async () => {
    const done = await run(file("one.csv"));
    expect(done.status).toBe(1);
    expect(done.err).toBe("");
    expect(done.out).toContain("1. Lane 3 plate connector: at fault over 99 %");
    const flat = done.out.replace(/\s+/g, " ");
    expect(flat).toMatch(/Clean lane 3's plate connector now \(12 min, EUR 8\), and read it\./);
    expect(flat).toMatch(/The rule: clean it where its pod reads under 4\.\d\d V; replace it/);
    expect(flat).toMatch(/calcium hypochlorite[\s\S]*flash point[\s\S]*licensed electrician/);
    for (const course of ["wait for the next walk", "read it again", "clean it", "replace it"])
      expect(done.out).toContain(course);
  });

  /** Common practice: a path still low after its contacts were cleaned has oxidised metal. */
  test("three cleanings that did not cure point to oxidised metal: replace", async () => {
    const done = await run("--work", file("log.csv"), file("stubborn.csv"));
    const flat = done.out.replace(/\s+/g, " ");
    expect(flat).toMatch(/Replace lane 3's plate connector now \(40 min, EUR 147\)/);
    expect(flat).toContain("3 of the 3 on record did not hold at all");
    expect(flat).toContain("oxidised metal");
    const without = await run(file("stubborn.csv"));
    expect(without.out.replace(/\s+/g, " ")).not.toContain("oxidised metal");
  });

  test("cleanings that met a sound contact say nothing of how long one holds", async () => {
    const days = ["2026-05-02", "2026-05-09", "2026-05-16", "2026-05-23"];
    const rows = days.map((day, k) => walk(day, k === 3 ? 80 : 0.2));
    writeFileSync(file("early.csv"), `taken_at,lane,point,volts\n${rows.join("\n")}\n`);
    const done = await run("--work", file("log.csv"), file("early.csv"));
    const flat = done.out.replace(/\s+/g, " ");
    expect(flat).toContain("The rule:");
    expect(flat).not.toMatch(/the last (one|two)/);
  });

  test("what was worked on since the walk is to be read again, and no course is weighed", async () => {
    const log = file("since.csv");
    writeFileSync(log, "done_at,lane,device,point,action\n2026-05-03,3,,plate,replaced\n");
    const done = await run("--work", log, file("one.csv"));
    expect(done.status).toBe(1);
    expect(done.out.replace(/\s+/g, " ")).toContain(
      "Lane 3 plate connector was replaced on 2026-05-03, after the latest walk: read it again " +
        "before deciding.",
    );
    expect(done.out).not.toMatch(/Clean lane|present cost|nothing to clean/);
    const answer = JSON.parse((await run("--json", "--work", log, file("one.csv"))).out);
    expect(answer.decisions).toEqual([]);
    expect(answer.readAgain).toMatchObject([
      { connector: "plate connector", lane: 3, action: "replaced", date: "2026-05-03" },
    ]);
  });

  test("work before the walk, on another lane or on a part beyond silences nothing", async () => {
    const log = file("beside.csv");
    const head = "done_at,lane,device,point,action\n";
    for (const row of [
      "2026-05-01,3,,plate,replaced",
      "2026-05-03,2,,plate,cleaned",
      "2026-05-03,3,touchpad,pod,cleaned",
    ]) {
      writeFileSync(log, `${head}${row}\n`);
      const done = await run("--work", log, file("one.csv"));
      expect(done.out).toContain("1. Lane 3 plate connector: at fault over 99 %");
      expect(done.out).not.toContain("Worked on since");
    }
  });

  test("JSON has every course, its cautions, and nothing that is not JSON", async () => {
    const done = await run("--json", file("one.csv"));
    const answer = JSON.parse(done.out);
    expect(answer).toMatchObject({ pool: "Kestrel Bay", walk: "2026-05-02", currency: "EUR" });
    const [first] = answer.decisions;
    expect(first).toMatchObject({ connector: "plate connector", lane: 3, device: null });
    expect(first.courses.map((course: { kind: string }) => course.kind)).toEqual([
      "wait",
      "read-again",
      "clean",
      "replace",
    ]);
    expect(first.cautions.map((caution: { id: string }) => caution.id)).toContain(
      "solvent-oxidiser",
    );
    expect(done.out).not.toMatch(/Infinity|NaN/);
  });

  test("a sound pool needs nothing, and the status says so", async () => {
    const done = await run(file("sound.csv"));
    expect(done).toMatchObject({ status: 0, err: "" });
    expect(done.out.replace(/\s+/g, " ")).toContain("nothing to clean or to replace");
  });

  test("a walk of doubted readings is not called sound: it cannot be judged, status 1", async () => {
    const wild = walk("2026-05-09", 0.2).replaceAll(/,\d\.\d\d$/gm, ",7.40");
    const sheet = `taken_at,lane,point,volts\n${walk("2026-05-02", 0.2)}\n${wild}\n`;
    writeFileSync(file("wild.csv"), sheet);
    const done = await run(file("wild.csv"));
    expect(done.status).toBe(1);
    expect(done.out.replace(/\s+/g, " ")).toBe(
      "Kestrel Bay, walk 2026-05-09: this walk cannot be judged. 16 of its 16 readings are doubted, " +
        "and no circuit is sound or weak. Read them again first (dropwise check lists them). ",
    );
  });

  test("walks that were left out for want of a date are named", async () => {
    const undated = walk("", 80).replaceAll(/^,/gm, "");
    writeFileSync(file("undated.csv"), `lane,point,volts\n${undated}\n`);
    const done = await run(file("sound.csv"), file("undated.csv"));
    expect(done).toMatchObject({ status: 0, err: "left out, no date: walk undated\n" });
    // The only walk there is, is decided on, date or not.
    const alone = await run(file("undated.csv"));
    expect(alone).toMatchObject({ status: 1, err: "" });
  });

  test("a date far from all others is asked about", async () => {
    writeFileSync(file("late.csv"), "done_at,lane,point,action\n2062-05-03,3,plate,cleaned\n");
    const { err } = await run("--work", file("late.csv"), file("sound.csv"));
    expect(err).toMatch(/a date may be wrong: line 2 of the work log .* 36 years after/);
  });

  test("what can't be used is one sentence and status 2", async () => {
    const none = await run(file("nonsense.csv"));
    expect(none.status).toBe(2);
    expect(none.out).toBe("");
    const absent = await run(file("absent.csv"));
    expect(absent).toMatchObject({ status: 2, out: "" });
    expect(absent.err).toMatch(/^dropwise: .*absent\.csv does not exist\n$/);
  });

  test("its help carries an example", async () => {
    const help = await runCommand([registerDecide], ["decide", "--help"]);
    expect(help.out).toContain("$ dropwise decide");
  });
});

test("bad rows of a sheet and of the work log are told apart by their file", async () => {
  const bad = join(folder, "bad.csv");
  const log = join(folder, "bad-work.csv");
  writeFileSync(
    bad,
    "walk,lane,timer,harness,plate,pod\n2026-05-02,1,5,5,5,5\n2026-05-02,9,5,5,5,5\n",
  );
  writeFileSync(log, "done_at,lane,device,point,action\n2026-05-01,1,,plate,polished\n");
  const args = ["decide", "--pool", file("pool.yaml"), bad, "--work", log];
  const { err } = await runCommand([registerDecide], args);
  expect(err.replaceAll(folder, "").split("\n")).toEqual([
    "Not used of /bad.csv (mend them and import again):",
    expect.stringMatching(/^ {2}line 3: lane is '9'/),
    "Not used of /bad-work.csv (mend it and import again):",
    expect.stringMatching(/^ {2}line 2: action is 'polished'/),
    "",
  ]);
});
