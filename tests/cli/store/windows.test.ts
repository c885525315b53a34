/**
 * What differs on Windows, tried as values: no Windows runs here. That a rename is refused with EPERM,
 * EACCES or EBUSY while another program has the file open is what Node reports of the system's
 * sharing and access violations there (libuv's table of error codes, from memory).
 */
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import path, { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { disk } from "../../../src/cli/store/disk.ts";
import { withLock } from "../../../src/cli/store/file-lock.ts";
import { writeFiles } from "../../../src/cli/store/file-set.ts";
import { isInside } from "../../../src/cli/store/is-inside.ts";
import { isGone, newOwner } from "../../../src/cli/store/owner.ts";
import { mayPass, patiently } from "../../../src/cli/store/patience.ts";

const refusal = (code: string): Error => Object.assign(new Error(`${code}: refused`), { code });
let home = "";
beforeEach(() => {
  home = mkdtempSync(join(tmpdir(), "dropwise-windows-"));
});
afterEach(() => {
  vi.restoreAllMocks();
  rmSync(home, { recursive: true });
});

describe("a refusal that may pass", () => {
  /** Work that is refused so often before it is done; how often it was tried, how long was waited. */
  function tried(code: string, times: number, system: string) {
    let tries = 0;
    let waited = 0;
    const work = (): string => {
      tries++;
      if (tries <= times) throw refusal(code);
      return "done";
    };
    try {
      const said = patiently(work, system, (milliseconds) => {
        waited += milliseconds;
      });
      return { said, tries, waited };
    } catch (error) {
      return { said: (error as { code?: string }).code, tries, waited };
    }
  }

  test.each(["EPERM", "EACCES", "EBUSY"])("%s is waited out on Windows, and only there", (code) => {
    expect(tried(code, 3, "win32")).toMatchObject({ said: "done", tries: 4 });
    expect(tried(code, 3, "linux")).toEqual({ said: code, tries: 1, waited: 0 });
    expect(tried(code, 3, "darwin")).toEqual({ said: code, tries: 1, waited: 0 });
  });

  test("one that stays is told after a second", () => {
    const { said, tries, waited } = tried("EBUSY", 100, "win32");
    expect(said).toBe("EBUSY");
    expect(tries).toBe(9);
    expect(waited).toBeGreaterThan(900);
    expect(waited).toBeLessThan(1100);
  });

  test("nothing else is waited for: what is not there will not come", () => {
    for (const code of ["ENOENT", "ENOTEMPTY", "ENOSPC", "EEXIST"])
      expect(tried(code, 3, "win32")).toEqual({ said: code, tries: 1, waited: 0 });
    expect(mayPass(new Error("EPERM"), "win32")).toBe(false);
  });
});

describe("a set of files, where the system refuses a rename", () => {
  const files = ["a.txt", "b.txt"];
  const set = (content: string) => files.map((name) => ({ name, content }));
  const stands = (folder: string) => files.map((name) => readFileSync(join(folder, name), "utf8"));

  test.each(["EPERM", "EBUSY", "EACCES"])("%s at any of them leaves the old set whole", (code) => {
    const out = join(home, "out");
    for (const holdsFolder of [false, true]) {
      writeFiles(out, set("old"));
      if (holdsFolder) mkdirSync(join(out, "own"));
      for (let at = 1; ; at++) {
        let renames = 0;
        const rename = disk.rename;
        vi.spyOn(disk, "rename").mockImplementation((from, to) => {
          renames++;
          if (renames === at) throw refusal(code);
          rename(from, to);
        });
        const write = (): void => writeFiles(out, set("new"));
        if (at === 1) expect(write).toThrow(/out/);
        else
          try {
            write();
          } catch {
            // Looked at below.
          }
        vi.restoreAllMocks();
        if (renames < at) break;
        expect(stands(out)).toEqual(["old", "old"]);
        expect(readdirSync(home)).toEqual(["out"]);
      }
      expect(stands(out)).toEqual(["new", "new"]);
    }
  });

  test("a file that another program has open is said so", () => {
    const out = join(home, "out");
    writeFiles(out, set("old"));
    vi.spyOn(disk, "rename").mockImplementation(() => {
      throw refusal("EBUSY");
    });
    expect(() => writeFiles(out, set("new"))).toThrow(/another program has it open/);
  });
});

describe("the lock", () => {
  const file = (): string => join(home, "work.csv");

  test("is had though its folder is just going away under another run's hands", async () => {
    const open = disk.open;
    let refused = 0;
    // So says a folder that is removed but still open somewhere: no such file, then there again.
    vi.spyOn(disk, "open").mockImplementation((...given) => {
      if (refused < 3) {
        refused++;
        throw refusal("ENOENT");
      }
      return open(...given);
    });
    expect(await withLock(file(), () => "worked")).toBe("worked");
    expect(refused).toBe(3);
    expect(readdirSync(home)).toEqual([]);
  });

  test("whose own mark can't be removed still lets the work's answer through", async () => {
    const unlink = disk.unlink;
    vi.spyOn(disk, "unlink").mockImplementation((name) => {
      if (/\d{9}-/.test(String(name))) throw refusal("EBUSY");
      unlink(name);
    });
    expect(await withLock(file(), () => "worked")).toBe("worked");
    expect(existsSync(join(home, ".work.csv.lock"))).toBe(true);
  });

  test("counts another user's run, which may not be signalled, as running", () => {
    const kill = vi.spyOn(process, "kill");
    kill.mockImplementation(() => {
      throw refusal("EPERM");
    });
    expect(isGone(newOwner())).toBe(false);
    kill.mockImplementation(() => {
      throw refusal("ESRCH");
    });
    expect(isGone(newOwner())).toBe(true);
    // Nobody here can tell of another machine.
    expect(isGone(newOwner().replace(/^[^-]+/, "00000000"))).toBe(false);
  });
});

test("whether the shell stands in a folder, by the names of either system", () => {
  const { win32, posix } = path;
  const inside: [string, string, path.PlatformPath, boolean][] = [
    ["C:\\Pools\\Bay", "C:\\Pools\\Bay", win32, true],
    ["c:\\pools\\bay\\charts", "C:\\Pools\\Bay", win32, true],
    ["C:\\Pools", "C:\\Pools\\Bay", win32, false],
    ["C:\\Pools\\Bay-2", "C:\\Pools\\Bay", win32, false],
    ["C:\\Pools\\Bay\\..later", "C:\\Pools\\Bay", win32, true],
    ["D:\\Pools\\Bay", "C:\\Pools\\Bay", win32, false],
    ["\\\\server\\pools\\bay", "\\\\server\\pools", win32, true],
    ["/pools/bay", "/pools/bay", posix, true],
    ["/pools/bay/charts", "/pools/bay", posix, true],
    ["/pools/Bay/charts", "/pools/bay", posix, false],
    ["/pools/bay-2", "/pools/bay", posix, false],
    ["/pools", "/pools/bay", posix, false],
  ];
  for (const [inner, folder, system, is] of inside)
    expect([inner, folder, isInside(inner, folder, system)]).toEqual([inner, folder, is]);
});
