import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Readable } from "node:stream";
import { afterAll, beforeAll, expect, test } from "vitest";
import { registerNext } from "../../../src/cli/next.ts";
import { WalkFile } from "../../../src/cli/walk-file.ts";
import { runCommand } from "../run-command.ts";
import { type Fault, Killed, onFaultyDisk } from "./faulty-disk.ts";

let folder = "";
const at = (name: string): string => join(folder, name);
const realInput = Object.getOwnPropertyDescriptor(process, "stdin")!;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "dropwise-walks-"));
});
afterAll(() => {
  Object.defineProperty(process, "stdin", realInput);
  rmSync(folder, { recursive: true });
});

/** A pool without any sheet: the walk makes the folder of its readings. */
function prepare(): void {
  rmSync(at("pool"), { recursive: true, force: true });
  mkdirSync(at("pool"));
  writeFileSync(
    at("pool/pool.yaml"),
    "pool: Kestrel Bay\nmodel: plain\nlanes: 4\ndevices: [touchpad]\n",
  );
}

/** The guided walk with what somebody types at its prompts. */
function typing() {
  const input = Readable.from(["4.91", "4.2", "u", "4.3", "q"].map((line) => `${line}\n`));
  Object.defineProperty(process, "stdin", { value: input, configurable: true });
  return runCommand([registerNext], ["next", "--guide", "--pool", at("pool")]);
}

/** Volts that stand in the walk's sheet as it is, whole rows only. */
function values(): string[] {
  const sheet = sheetPath();
  if (sheet === null) return [];
  const lines = readFileSync(sheet, "utf8").split("\r\n").slice(1, -1);
  return lines.map((line) => line.split(",")[4]!);
}

/** The sheet that the walk began in the pool's readings. */
function sheetPath(): string | null {
  if (!existsSync(at("pool/readings"))) return null;
  const name = readdirSync(at("pool/readings")).find((one) => /^walk-.*\.csv$/.test(one));
  return name === undefined ? null : at(`pool/readings/${name}`);
}

/** What the sheet may hold when the walk has got so far; a row counts once the next prompt is there. */
const course = [[], ["4.91"], ["4.91", "4.2"], ["4.91"], ["4.91", "4.3"]];

test.each<Fault>(["fails", "kill"])(
  "next --guide, whatever call to the disk %s: every reading asked beyond is on the disk",
  async (fault) => {
    prepare();
    const { calls, result: whole } = await onFaultyDisk(0, fault, typing);
    expect(whole?.status).not.toBe(2);
    expect(values()).toEqual(course.at(-1));
    expect(calls[0]).toBe("makeFolder");
    expect(calls.length).toBeGreaterThan(15);
    for (let call = 1; call <= calls.length; call++) {
      prepare();
      const { result, error } = await onFaultyDisk(call, fault, typing);
      const where = `${fault} at call ${call}, ${calls[call - 1]}`;
      if (error !== null) expect(error, where).toBeInstanceOf(Killed);
      if (result?.status === 2) expect(result.err, where).toMatch(/^dropwise: .*\n$/m);
      const left = values();
      expect(course, where).toContainEqual(left);
      // Each prompt but the first acknowledges what was typed before it.
      const prompts = result?.out.match(/^\d+ {2}Lane .*: /gm)?.length ?? 0;
      const next = [course[Math.max(0, prompts - 1)], course[prompts]];
      if (result !== null) expect(next, where).toContainEqual(left);
      // The next run goes on from the whole rows and adds to them.
      const sheet = sheetPath();
      if (sheet === null) continue;
      const row = { walk: "a", lane: "1", device: "touchpad", point: "pod", volts: "4.99" };
      const rest = { taken_at: "", meter: "", meter_on: "", state: "rest", by: "" };
      WalkFile.resume(sheet).file.append({ ...row, ...rest });
      expect(values(), where).toEqual([...left, "4.99"]);
    }
  },
);
