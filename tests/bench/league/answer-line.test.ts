import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { registerCheck } from "../../../src/cli/check.ts";
import { runCommand } from "../../cli/run-command.ts";
import { answerOf, lineOf } from "./answer-line.ts";
import { madeFolder, plainly } from "./made-folders.ts";
import { loadLines, packLines, questions } from "./store.ts";

const home = mkdtempSync(join(tmpdir(), "dropwise-league-"));
afterAll(() => rmSync(home, { recursive: true }));

test.each([3, 9])(
  "folder %i: the answer is what the command prints, byte by byte",
  async (number) => {
    const folder = plainly(madeFolder(number));
    for (const [name, text] of Object.entries(folder.files)) writeFileSync(join(home, name), text);
    const printed = await runCommand([registerCheck], ["check", "--pool", home, "--json"]);
    expect(answerOf(folder).json).toBe(printed.out);
  },
);

test("three lines in DuckDB count what the lines themselves have", async () => {
  const lines = [3, 9, 10].map((number) => lineOf(answerOf(plainly(madeFolder(number))).json));
  const file = join(home, "answers' lines.ndjson");
  writeFileSync(file, lines.join(""));
  const league = await loadLines(file);
  const answers = lines.map((line) => JSON.parse(line));
  const circuits = answers.flatMap(({ walks }) => walks[0].circuits);
  const connectors = answers.flatMap(({ walks }) => walks[0].connectors);
  const verdicts = await league.ask(questions["circuits by verdict"]);
  for (const { verdict, circuits: count } of verdicts)
    expect(count).toBe(circuits.filter((one) => one.verdict === verdict).length);
  expect(verdicts.reduce((sum, one) => sum + Number(one["circuits"]), 0)).toBe(circuits.length);
  const classes = await league.ask(questions["connectors by class"]);
  const pods = connectors.filter(({ point }) => point === "pod");
  const expected = pods.reduce((sum, { atFault }) => sum + atFault, 0);
  const pod = classes.find(({ point }) => point === "pod");
  expect(pod).toMatchObject({ connectors: pods.length });
  expect(Number(pod?.["expected_at_fault"])).toBeCloseTo(expected, 1);
  const neediest = await league.ask(questions["pools to call first"]);
  expect(neediest.map(({ pool }) => pool).sort()).toEqual(["pool-0003", "pool-0009", "pool-0010"]);
  league.close();
});

test("the Parquet file holds every answer", async () => {
  const file = join(home, "two.ndjson");
  writeFileSync(
    file,
    [3, 9].map((number) => lineOf(answerOf(plainly(madeFolder(number))).json)).join(""),
  );
  await packLines(file, join(home, "two.parquet"));
  const league = await loadLines(file);
  const sql = `SELECT pool FROM '${join(home, "two.parquet")}' ORDER BY pool`;
  expect(await league.ask(sql)).toEqual([{ pool: "pool-0003" }, { pool: "pool-0009" }]);
  league.close();
});
