import { readdir, stat } from "node:fs/promises";
import { dirname, join, relative, resolve } from "node:path";
import type { Command } from "commander";
import type { Pool } from "../domain/pool.ts";
import { remarks } from "../report/rejects-text.ts";
import { textOf } from "../report/wrap-text.ts";
import { wordsIn } from "../words/language.ts";
import { type Io, UnusableInput } from "./command.ts";
import { exists, loadPool } from "./files.ts";

/** A pool is a folder: its pool file, and beside it the files that every command knows by name. */
export interface PoolFolder {
  readonly pool: Pool;
  /** The pool file, as it can be opened from here. */
  readonly file: string;
  /** The folder that holds it; its other files are read and written there. */
  readonly dir: string;
  /** What was used without being named, a few words each, for one line. */
  readonly used: string[];
  /** What is worth a look in how the pool file was read: lines for standard error. */
  readonly said: string[];
}

/** Where a pool file is looked for, beside what the user names. */
export interface Standing {
  /** The folder that the user stands in. */
  readonly here: string;
  /** `DROPWISE_POOL`: a folder or its pool file. */
  readonly named: string | undefined;
}

const POOL_FILE = "pool.yaml";

/** Help of the option that says which pool. */
const poolHelp =
  "the pool's folder or pool.yaml (default: DROPWISE_POOL, else the nearest folder upwards)";

/** Adds `--pool`. */
export const withPool = (command: Command): Command => command.option("--pool <place>", poolHelp);

/** Ends of the names of sheets. */
const SHEET = /\.(csv|tsv|txt|xlsx|ods)$/i;

/** Where the process stands. */
const standing = (): Standing => ({ here: process.cwd(), named: process.env["DROPWISE_POOL"] });

/** The pool file that a folder or file stands for; `-` is standard input. */
async function fileOf(place: string, said: string): Promise<string> {
  if (place === "-") return place;
  const about = await stat(place).catch(() => null);
  if (about?.isDirectory() !== true) return place;
  const file = join(place, POOL_FILE);
  if (await exists(file)) return file;
  throw new UnusableInput(`${said} ${place} holds no ${POOL_FILE}: dropwise init makes one`);
}

/** The nearest folder upwards that holds a pool file. */
async function upwards(here: string): Promise<string | null> {
  for (let dir = resolve(here); ; dir = dirname(dir)) {
    const file = join(dir, POOL_FILE);
    if (await exists(file)) return relative(process.cwd(), file) || POOL_FILE;
    if (dirname(dir) === dir) return null;
  }
}

/** The pool file that is meant: named, by the environment, else the nearest upwards; null: none. */
export async function findPoolFile(
  option: string | undefined,
  { here, named }: Standing = standing(),
): Promise<string | null> {
  if (option !== undefined) return fileOf(option, "the folder");
  if (named !== undefined && named !== "") return fileOf(named, "DROPWISE_POOL:");
  return upwards(here);
}

/** Opens the pool that is meant; with none, one sentence says how to make one. */
export async function openPool(option: string | undefined): Promise<PoolFolder> {
  const file = await findPoolFile(option);
  if (file === null)
    throw new UnusableInput(
      `no ${POOL_FILE} here or in a folder above: dropwise init makes one, --pool names one`,
    );
  const dir = file === "-" ? "." : dirname(file);
  const said: string[] = [];
  const pool = await loadPool(file, (line) => void said.push(line));
  const found = option === undefined && dir !== "." ? [POOL_FILE] : [];
  return { pool, file, dir, used: found, said };
}

/** A usual file of the folder, where it is there and nothing else was named. */
export async function usualFile(
  folder: PoolFolder,
  named: string | undefined,
  usual: string,
): Promise<string | null> {
  if (named !== undefined) return named;
  const file = join(folder.dir, usual);
  if (!(await exists(file))) return null;
  folder.used.push(usual);
  return file;
}

/** The same, where a command can do nothing without it. */
export async function neededFile(
  folder: PoolFolder,
  named: string | undefined,
  usual: string,
): Promise<string> {
  const file = await usualFile(folder, named, usual);
  if (file !== null) return file;
  throw new UnusableInput(`there is no ${join(folder.dir, usual)}, and no other file was named`);
}

/** The sheets of readings that are meant: those named, else the folder's own. */
export async function sheetsOf(
  folder: PoolFolder,
  named: readonly string[],
): Promise<readonly string[]> {
  if (named.length > 0) return named;
  const own = join(folder.dir, "readings");
  const names = await readdir(own).catch(() => [] as string[]);
  const inside = names.filter((name) => SHEET.test(name) && !/^[.~]/.test(name)).sort();
  const beside = join(folder.dir, "readings.csv");
  const flat = (await exists(beside)) ? [beside] : [];
  if (flat.length > 0) folder.used.push("readings.csv");
  if (inside.length === 1) folder.used.push(`readings/${inside[0]}`);
  if (inside.length > 1) folder.used.push(`readings/ (${inside.length} sheets)`);
  return [...flat, ...inside.map((name) => join(own, name))];
}

/** The same, where a command can do nothing without readings. */
export async function neededSheets(
  folder: PoolFolder,
  named: readonly string[],
): Promise<readonly string[]> {
  const sheets = await sheetsOf(folder, named);
  if (sheets.length > 0) return sheets;
  throw new UnusableInput(
    `no sheet was named, and none lies in ${join(folder.dir, "readings")}: name one, or put it there`,
  );
}

/** Says in one line what was used without being named. */
export function sayUsed({ dir, used, said }: PoolFolder, io: Pick<Io, "note" | "language">): void {
  io.note(remarks(said.splice(0).join(""), io.language));
  if (used.length === 0) return;
  const { command } = wordsIn(io.language);
  io.note(textOf([command.from(dir === "." ? null : dir, used)]));
  used.length = 0;
}
