import { expect, test } from "vitest";
import { commands } from "./commands.ts";
import { runCommand } from "./run-command.ts";

/** One option as a help text tells it. */
interface Told {
  readonly command: string;
  /** `--out <folder>`, or `--json`. */
  readonly flags: string;
  /** What it says of itself, without what stands in brackets. */
  readonly meaning: string;
}

/** The options of a help text; what is broken over lines is put back together. */
function optionsOf(command: string, help: string): readonly Told[] {
  const block = /^Options:\n((?: .*\n)*)/m.exec(help)![1]!;
  const lines = block.replace(/\n {5,}(?=\S)/g, " ").split("\n");
  return lines.flatMap((line) => {
    const found = /^ {2}(?:-\w, )?(--[\w-]+(?: <[\w.]+>)?) {2,}(.*)$/.exec(line);
    if (found === null) return [];
    return [{ command, flags: found[1]!, meaning: found[2]!.replace(/ \(.*$/, "") }];
  });
}

const told = (
  await Promise.all(
    commands.map(async ([name, register]) =>
      optionsOf(name, (await runCommand([register], [...name.split(" "), "--help"])).out),
    ),
  )
).flat();

const nameOf = ({ flags }: Told): string => flags.split(" ")[0]!;

test("the help texts were read: each option stands with its commands", () => {
  const commandsOf = (name: string) =>
    told.filter((one) => nameOf(one) === name).map(({ command }) => command);
  expect(commandsOf("--json").length).toBeGreaterThan(14);
  expect(commandsOf("--out")).toEqual(["check", "next", "charts", "report", "memo", "round"]);
  expect(commandsOf("--at")).toEqual(["log cleaned"]);
});

test("an option of one name asks for one thing, and says one thing of itself", () => {
  const ways = new Map<string, Set<string>>();
  for (const one of told) {
    // What is written is one file or a folder, and its last word says which.
    const way = `${one.flags.replace("<folder>", "<file>")}: ${one.meaning.replace("folder", "file")}`;
    ways.set(nameOf(one), (ways.get(nameOf(one)) ?? new Set()).add(way));
  }
  expect([...ways.values()].filter((said) => said.size > 1).map((said) => [...said])).toEqual([]);
});

test("a day is --date, a moment --at, a folder that is written --out or a new pool's --dir", () => {
  const asks = (of: RegExp) => [
    ...new Set(told.filter(({ flags }) => of.test(flags)).map(({ flags }) => flags)),
  ];
  expect(asks(/<day>/)).toEqual(["--date <day>"]);
  expect(asks(/<moment>/)).toEqual(["--at <moment>"]);
  expect(asks(/<folder>/).sort()).toEqual(["--dir <folder>", "--out <folder>"]);
});
