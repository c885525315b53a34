import { createHash } from "node:crypto";
import { readdirSync, readFileSync, statSync } from "node:fs";
import { homedir } from "node:os";
import { join } from "node:path";
import { deserialize, serialize } from "node:v8";
import { type Keeper, noKeeper, type Question, spelt } from "../../rooms/season-room.ts";
import { cacheFolder, type Environment } from "./cache-folder.ts";
import { disk } from "./disk.ts";
import { ownName } from "./leftovers.ts";
import { makeFolder } from "./make-folder.ts";
import { attempt, withFile, writeAll } from "./write-whole.ts";

/** Bytes of all answers that are held at most; the oldest go first. */
const MOST_BYTES = 64 * 2 ** 20;
/** Length of the seal before an answer [bytes]. */
const SEAL = 32;

const sha256 = (bytes: string | Uint8Array): Buffer => createHash("sha256").update(bytes).digest();

/**
 * Holds answers in files of one folder, one each, under a name made of the program's build and all that
 * was asked. They can be had again, so nothing here is ever a fault: what can't be read, or is not whole,
 * is not known; what can't be written is not held.
 *
 * @param build tells programs that answer otherwise apart
 */
export function keptAnswers(folder: string, build: string): Keeper {
  const pathOf = ({ what, from }: Question): string =>
    join(folder, `${what}-${sha256(spelt([build, what, from])).toString("hex")}`);
  return {
    known: <T>(question: Question) => read(pathOf(question)) as T | undefined,
    keep: (question, answer) => attempt(() => write(folder, pathOf(question), answer)),
  };
}

function read(path: string): unknown {
  try {
    const bytes = readFileSync(path);
    const answer = bytes.subarray(SEAL);
    if (!sha256(answer).equals(bytes.subarray(0, SEAL))) return undefined;
    return deserialize(answer);
  } catch {
    return undefined;
  }
}

/** Whole under its name or not there at all. */
function write(folder: string, path: string, answer: unknown): void {
  makeFolder(folder);
  const bytes = serialize(answer);
  makeRoom(folder, bytes.length);
  const draft = join(folder, ownName("draft"));
  try {
    withFile(
      draft,
      "wx",
      (handle) => writeAll(handle, Buffer.concat([sha256(bytes), bytes]), null),
      0o600,
    );
    disk.rename(draft, path);
  } catch (error) {
    attempt(() => disk.unlink(draft));
    throw error;
  }
}

/** Removes the oldest, until so much more has room. */
function makeRoom(folder: string, more: number): void {
  const files = readdirSync(folder).map((name) => {
    const { size, mtimeMs } = statSync(join(folder, name));
    return { path: join(folder, name), size, mtimeMs };
  });
  let bytes = more + files.reduce((sum, { size }) => sum + size, 0);
  for (const { path, size } of files.sort((a, b) => a.mtimeMs - b.mtimeMs)) {
    if (bytes <= MOST_BYTES) return;
    attempt(() => disk.unlink(path));
    bytes -= size;
  }
}

declare const DROPWISE_BUILD: string | undefined;

/** Of a bundled command: tells any two whose code differs apart. Run from its sources it has none. */
const build = typeof DROPWISE_BUILD === "undefined" ? null : DROPWISE_BUILD;

/**
 * The keeper of a run: in the user's own folder for what can be had again, where the command is a built
 * one and `DROPWISE_CACHE` isn't `off`.
 */
export function keeperFor(env: Environment): Keeper {
  if (build === null || env["DROPWISE_CACHE"] === "off") return noKeeper;
  const folder = join(cacheFolder(process.platform, env, homedir()), "dropwise", "answers");
  return keptAnswers(folder, `${build} ${process.version}`);
}
