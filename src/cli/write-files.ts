import { appendFile, mkdir, rename, rm, stat, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { UnusableInput } from "./command.ts";
import { unusable } from "./files.ts";

/** A file to write: its name, and all that goes into it. */
export interface OutputFile {
  readonly name: string;
  readonly content: string | Uint8Array;
}

/**
 * Files that are written piece by piece into a folder, all of them or none: each goes under another
 * name first, and takes its own when all are complete. Makes the folder where it is missing.
 */
export class Drafts {
  readonly #folder: string;
  readonly #names = new Set<string>();

  constructor(folder: string) {
    this.#folder = folder;
  }

  /** Adds to the end of a file, which the first piece starts anew. */
  async add(name: string, content: string | Uint8Array): Promise<void> {
    const draft = this.#draft(name);
    try {
      if (this.#names.has(name)) return await appendFile(draft, content);
      this.#names.add(name);
      await makeFolder(dirname(draft));
      await writeFile(draft, content);
    } catch (error) {
      await this.#giveUp(error);
    }
  }

  /** All are complete. */
  async finish(): Promise<void> {
    try {
      for (const name of this.#names) await rename(this.#draft(name), join(this.#folder, name));
    } catch (error) {
      await this.#giveUp(error);
    }
  }

  #draft = (name: string): string => `${join(this.#folder, name)}.${process.pid}.tmp`;

  /** Whatever keeps a draft from being removed, the first error is the one to tell. */
  async #giveUp(error: unknown): Promise<never> {
    const drafts = [...this.#names].map(this.#draft);
    await Promise.allSettled(drafts.map((draft) => rm(draft, { force: true })));
    throw unusable(this.#folder, error);
  }
}

/**
 * Makes a folder and what is missing above it. Node's own recursive way never ends where a parent
 * is there and takes no folder, as under /proc.
 */
async function makeFolder(path: string): Promise<void> {
  try {
    await mkdir(path);
  } catch (error) {
    const { code } = error as { code?: string };
    if (code === "EEXIST") {
      if ((await stat(path)).isDirectory()) return;
      throw new UnusableInput(`${path} is a file, where a folder is needed`);
    }
    if (code !== "ENOENT" || dirname(path) === path) throw error;
    await makeFolder(dirname(path));
    await mkdir(path);
  }
}

/** Writes whole files into a folder, all of them or none. */
export async function writeFiles(folder: string, files: readonly OutputFile[]): Promise<void> {
  const drafts = new Drafts(folder);
  for (const { name, content } of files) await drafts.add(name, content);
  await drafts.finish();
}
