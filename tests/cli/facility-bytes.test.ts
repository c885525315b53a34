import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { UnusableInput } from "../../src/cli/command.ts";
import { memoAsJson } from "../../src/cli/make-memo.ts";

test("a facility file that is not UTF-8 says from which line on, before its faults", async () => {
  const folder = mkdtempSync(join(tmpdir(), "dropwise-facility-"));
  const path = join(folder, "facility.yaml");
  // 0xE9 is é in windows-1252, and no beginning of a character in UTF-8 before a full stop.
  writeFileSync(path, Buffer.from("facility: Kestrel Bay\nto: Ren\xe9.\npaper: A3\n", "latin1"));
  const said: string[] = [];
  // The facility file is read first: no season is asked for.
  const memo = memoAsJson({} as never, path, (line) => said.push(line));
  await expect(memo).rejects.toThrow(UnusableInput);
  await expect(memo).rejects.toThrow(`${path}, paper: found 'A3'; allowed: A4 or Letter`);
  expect(said).toEqual([
    `dropwise: ${path}, line 2: is not UTF-8 from here on and is read as windows-1252: look at the accents\n`,
  ]);
  rmSync(folder, { recursive: true });
});
