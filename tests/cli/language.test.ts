import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Command } from "commander";
import { afterAll, expect, test } from "vitest";
import { registerCheck } from "../../src/cli/check.ts";
import { withLanguage } from "../../src/cli/language-option.ts";
import { registerRound } from "../../src/cli/round.ts";
import { noKeeper } from "../../src/rooms/season-room.ts";
import { runCommand } from "./run-command.ts";

const pool = mkdtempSync(join(tmpdir(), "dropwise-language-"));
afterAll(() => rmSync(pool, { recursive: true, force: true }));
writeFileSync(
  join(pool, "pool.yaml"),
  "pool: Kestrel Bay\nmodel: plain\nlanes: 2\ndevices: [touchpad]\n",
);
mkdirSync(join(pool, "readings"));
const rows = "1,plate,4.97\n1,pod,4.97\n2,harness,4.98\n2,plate,4.21\n2,pod,4.21\n3,pod,4.9\n";
writeFileSync(join(pool, "readings", "deck.csv"), `lane,point,volts\n${rows}`);

const check = (...args: readonly string[]) =>
  runCommand([registerCheck], ["check", "--pool", pool, ...args]);

test("one option turns the answer and what is said around it into German", async () => {
  const { out, err, status } = await check("--language", "de");
  expect(status).toBe(1);
  expect(out).toMatch(/^Achtung: 1 von 6 Zeilen nicht verwendet/);
  expect(out).toContain("Bahn 2 plate connector verliert 0,76 V");
  expect(out).toContain("Schwach (Grenze 4,80 V): Bahn 2 touchpad 4,21 V.");
  expect(err).toMatch(/^Aus .*: readings\/deck\.csv\n/);
  expect(err).toContain("Gründe gibt es bisher nur auf Englisch");
  expect(err).toContain("  Zeile 7: lane is '3'");
});

test("JSON and files of rows are the same in every language", async () => {
  const [english, german] = [await check("--json"), await check("--json", "--language", "de")];
  expect(german.out).toBe(english.out);
  const out = join(pool, "results");
  await check("--language", "de", "--out", out);
  expect(readFileSync(join(out, "check.json"), "utf8")).toBe(english.out);
  expect(readFileSync(join(out, "rejected.csv"), "utf8")).toMatch(/^lane,/);
  expect(readFileSync(join(out, "check.txt"), "utf8")).toContain(
    "1 anderer Stromkreis ist in Ordnung",
  );
});

test("a command that speaks English alone says so in one line, and answers", async () => {
  const { out, err } = await runCommand(
    [registerRound],
    ["round", "--pool", pool, "--language", "de"],
  );
  expect(err.split("\n").filter((line) => line.includes("nur auf Englisch"))).toEqual([
    "dropwise round gibt es bisher nur auf Englisch.",
  ]);
  expect(out).toContain("round of");
});

test("a language that nobody wrote is refused with those that there are", async () => {
  const { out, err, status } = await check("--language", "xx");
  expect({ out, status }).toEqual({ out: "", status: 2 });
  expect(err).toBe("dropwise: --language is 'xx': one of en, de\n");
});

test("DROPWISE_LANGUAGE stands in where no language is named, and LANG does not", async () => {
  const heard = async (named: string | undefined, ...args: readonly string[]) => {
    const io = { out: () => {}, err: () => {}, note: () => {}, exit: () => {} };
    const program = new Command("dropwise").exitOverride();
    const told = withLanguage(
      program,
      { ...io, colour: false, progress: false, keeper: noKeeper },
      named,
    );
    let language = "";
    program.command("check").action(() => {
      language = told.language;
    });
    await program.parseAsync(["check", ...args], { from: "user" });
    return language;
  };
  process.env["LANG"] = "de_DE.UTF-8";
  expect(await heard(undefined)).toBe("en");
  expect(await heard("")).toBe("en");
  expect(await heard("de")).toBe("de");
  expect(await heard("de", "--language", "en")).toBe("en");
});
