import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { registerCheck } from "../../src/cli/check.ts";
import { registerCompletion } from "../../src/cli/completion.ts";
import { registerLog } from "../../src/cli/log.ts";
import { runCommand } from "./run-command.ts";

const folder = mkdtempSync(join(tmpdir(), "dropwise-completion-"));
afterAll(() => rmSync(folder, { recursive: true }));

const script = async (shell: string): Promise<string> => {
  const done = await runCommand(
    [registerCheck, registerLog, registerCompletion],
    ["completion", shell],
  );
  expect(done).toMatchObject({ status: 0, err: "" });
  const file = join(folder, `dropwise.${shell}`);
  writeFileSync(file, done.out);
  return file;
};

/** The shells themselves judge: where one is not installed, its test is left out. */
const has = (shell: string): boolean =>
  ["/bin", "/usr/bin", "/usr/local/bin"].some((place) => existsSync(join(place, shell)));

test.runIf(has("bash"))(
  "bash completes commands, options, commands of a command, files",
  async () => {
    const file = await script("bash");
    writeFileSync(join(folder, "a walk.csv"), "");
    const completed = (...words: readonly string[]): string[] => {
      const line = words.map((word) => `"${word}"`).join(" ");
      const run = `source ${file}; COMP_WORDS=(dropwise ${line}); COMP_CWORD=${words.length}; _dropwise; printf '%s\\n' "\${COMPREPLY[@]}"`;
      return execFileSync("bash", ["-c", run], { cwd: folder, encoding: "utf8" })
        .trim()
        .split("\n");
    };
    expect(completed("ch")).toEqual(["check"]);
    expect(completed("check", "--det")).toEqual(["--details"]);
    expect(completed("log", "cl")).toEqual(["cleaned"]);
    expect(completed("check", "a w")).toEqual(["a walk.csv"]);
  },
);

test.runIf(has("fish"))("fish completes them too", async () => {
  const file = await script("fish");
  const completed = (line: string): string[] =>
    execFileSync("fish", ["-c", `source ${file}; complete -C "${line}"`], { encoding: "utf8" })
      .trim()
      .split("\n")
      .map((one) => one.split("\t")[0]!);
  expect(completed("dropwise ch")).toEqual(["check"]);
  expect(completed("dropwise check --det")).toEqual(["--details"]);
});

test.runIf(has("zsh"))("zsh reads its script", async () => {
  const file = await script("zsh");
  expect(execFileSync("zsh", ["-n", file], { encoding: "utf8" })).toBe("");
});

test("another shell is one sentence", async () => {
  const done = await runCommand([registerCompletion], ["completion", "sh"]);
  expect(done.status).toBe(2);
  expect(done.err).toContain("one of bash, zsh, fish");
});
