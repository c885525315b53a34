import { existsSync, lstatSync, readdirSync, realpathSync, statSync } from "node:fs";
import { basename, dirname, join, resolve } from "node:path";
import { type Keeper, noKeeper } from "../../rooms/season-room.ts";
import { UnusableInput } from "../command.ts";
import { unusable } from "./cannot-write.ts";
import { disk } from "./disk.ts";
import { isInside } from "./is-inside.ts";
import { leftoversIn, ownName, sweep } from "./leftovers.ts";
import { makeFolder } from "./make-folder.ts";
import { faultOf } from "./output-fault.ts";
import { isCode } from "./system-words.ts";
import { addTo, attempt, flushFile, flushFolder, removeTree } from "./write-whole.ts";

/** A file to write: its name, with `/` where it stands in a folder, and all that goes into it. */
export interface OutputFile {
  readonly name: string;
  readonly content: string | Uint8Array;
}

/**
 * Files that appear in a folder together or not at all.
 *
 * They are written into a draft folder beside it, checked, and the disk is made to hold them. Then a
 * folder that is not there yet gets its name in one rename; one that holds nothing but files is
 * exchanged for a copy of it that has the new ones. A folder that holds more than that (folders of
 * its own, or the shell's working folder) keeps its place: the draft is declared complete in one
 * rename and its files then move one by one. Whatever stops that, an error takes all of them back,
 * and after a power cut the next run that writes there carries on.
 */
export class FileSet {
  readonly #folder: string;
  readonly #draft: string;
  readonly #names = new Set<string>();
  readonly #keeper: Keeper;

  /** Carries on with what a run that is over left behind, and makes the draft folder. */
  constructor(folder: string, keeper: Keeper = noKeeper) {
    this.#keeper = keeper;
    this.#folder = realFolder(folder);
    try {
      const parent = dirname(this.#folder);
      makeFolder(parent);
      recover(this.#folder);
      this.#draft = newDraft(this.#folder, parent);
    } catch (error) {
      throw unusable(folder, error);
    }
  }

  /** Adds to the end of a file, which the first piece starts anew. */
  add(name: string, content: string | Uint8Array): void {
    const path = join(this.#draft, name);
    try {
      makeFolder(dirname(path));
      addTo(path, content);
      this.#names.add(name);
    } catch (error) {
      this.#giveUp(error);
    }
  }

  /** All are complete: they take their names. */
  finish(): void {
    try {
      for (const name of this.#names) {
        const path = join(this.#draft, name);
        const fault = faultOf(path, name, this.#keeper);
        if (fault !== null) throw new Error(`${name} ${fault}`);
        flushFile(path);
      }
      for (const folder of foldersOf(this.#names)) flushFolder(join(this.#draft, folder));
      this.#publish();
    } catch (error) {
      this.#giveUp(error);
    }
  }

  #publish(): void {
    const folder = this.#folder;
    if (!existsSync(folder)) {
      disk.rename(this.#draft, folder);
      flushFolder(dirname(folder));
      return;
    }
    const beside = dirname(this.#draft) === dirname(folder);
    if (beside && holdsOnlyFiles(folder) && this.#linkOthers()) this.#exchange();
    else {
      const ready = join(folder, ownName("ready"));
      disk.rename(this.#draft, ready);
      try {
        moveAll(ready, folder, [...this.#names]);
      } catch (error) {
        attempt(() => removeTree(ready));
        throw error;
      }
    }
  }

  /** Links the folder's other files into the draft; false, and none of them, where links don't work. */
  #linkOthers(): boolean {
    const others = readdirSync(this.#folder).filter((name) => !this.#names.has(name));
    const linked: string[] = [];
    for (const name of others) {
      try {
        disk.link(join(this.#folder, name), join(this.#draft, name));
        linked.push(name);
      } catch (error) {
        for (const one of linked) disk.unlink(join(this.#draft, one));
        if (!noLinks(error)) throw error;
        return false;
      }
    }
    return true;
  }

  /** Puts the draft, which has all of the folder's other files, in the folder's place. */
  #exchange(): void {
    const folder = this.#folder;
    disk.setMode(this.#draft, statSync(folder).mode & 0o7777);
    flushFolder(this.#draft);
    const parent = dirname(folder);
    const old = join(parent, ownName("old", basename(folder)));
    disk.rename(folder, old);
    try {
      disk.rename(this.#draft, folder);
    } catch (error) {
      attempt(() => disk.rename(old, folder));
      throw error;
    }
    flushFolder(parent);
    attempt(() => removeTree(old));
  }

  /** Whatever keeps the draft from being removed, the first error is the one to tell. */
  #giveUp(error: unknown): never {
    attempt(() => removeTree(this.#draft));
    throw unusable(this.#folder, error);
  }
}

/** The folder itself where the path is a link to one. */
function realFolder(path: string): string {
  try {
    const real = realpathSync(path);
    if (!statSync(real).isDirectory())
      throw new UnusableInput(`${path} is a file, where a folder is needed`);
    return real;
  } catch (error) {
    if (isCode(error, "ENOENT")) return resolve(path);
    throw unusable(path, error);
  }
}

/**
 * Beside the folder, so that one rename can name it; inside it where nothing may be written beside, or
 * where it is a disk of its own, a stick or a share: no rename leads there.
 */
function newDraft(folder: string, parent: string): string {
  const inside = (): string => {
    const path = join(folder, ownName("draft"));
    disk.makeFolder(path);
    return path;
  };
  const isThere = existsSync(folder);
  if (isThere && statSync(folder).dev !== statSync(parent).dev) return inside();
  const beside = join(parent, ownName("draft"));
  try {
    disk.makeFolder(beside);
    return beside;
  } catch (error) {
    const refused = isCode(error, "EACCES") || isCode(error, "EROFS") || isCode(error, "EPERM");
    if (!refused || !isThere) throw error;
    return inside();
  }
}

/** Can the folder be exchanged for a copy? Not with folders in it, and not under a shell's feet. */
function holdsOnlyFiles(folder: string): boolean {
  if (isInside(process.cwd(), folder)) return false;
  return readdirSync(folder, { withFileTypes: true }).every((entry) => entry.isFile());
}

/** The folders in which these files stand, the deepest first, the set's own last. */
function foldersOf(names: ReadonlySet<string>): string[] {
  const folders = new Set<string>(["."]);
  for (const name of names)
    for (let at = dirname(name); at !== "."; at = dirname(at)) folders.add(at);
  return [...folders].sort((a, b) => b.length - a.length);
}

const oldName = (index: number): string => `.old-${index}`;

/** Moves a ready set's files to their names, or none of them. */
function moveAll(ready: string, folder: string, names: readonly string[]): void {
  const moved: (() => void)[] = [];
  try {
    for (const name of names) makeFolder(dirname(join(folder, name)));
    for (const [index, name] of names.entries()) {
      const [target, old] = [join(folder, name), join(ready, oldName(index))];
      const was = existsSync(target) || isLink(target);
      if (was && lstatSync(target).isDirectory())
        throw new UnusableInput(`${target} is a folder, where a file is to be written`);
      if (was) setAside(target, old);
      disk.rename(join(ready, name), target);
      moved.push(() => (was ? disk.rename(old, target) : disk.unlink(target)));
    }
    for (const at of foldersOf(new Set(names))) flushFolder(join(folder, at));
  } catch (error) {
    for (const back of moved.reverse()) attempt(back);
    throw error;
  }
  attempt(() => removeTree(ready));
}

/** Some file systems know no second name of a file. */
const noLinks = (error: unknown): boolean =>
  ["EPERM", "ENOSYS", "ENOTSUP", "EOPNOTSUPP", "EMLINK", "EXDEV"].some((code) =>
    isCode(error, code),
  );

/** Keeps a file under another name; where two names are not to be had, it goes there. */
function setAside(target: string, old: string): void {
  try {
    disk.link(target, old);
  } catch (error) {
    if (!noLinks(error)) throw error;
    disk.rename(target, old);
  }
}

function isLink(path: string): boolean {
  try {
    return lstatSync(path).isSymbolicLink();
  } catch {
    return false;
  }
}

/** Files under a folder, by name. */
function filesUnder(folder: string, inside = ""): string[] {
  return readdirSync(join(folder, inside), { withFileTypes: true }).flatMap((entry) => {
    const name = inside === "" ? entry.name : `${inside}/${entry.name}`;
    return entry.isDirectory() ? filesUnder(folder, name) : [name];
  });
}

/**
 * Ends what a run that is over began: a folder that stood aside gets its name back, a ready set's
 * files go to theirs, and drafts are removed.
 */
export function recover(folder: string): void {
  const parent = dirname(folder);
  for (const { path, kind, name } of leftoversIn(parent)) {
    if (kind === "old" && name === basename(folder) && !existsSync(folder)) {
      disk.rename(path, folder);
      flushFolder(parent);
    } else if (kind === "draft" || (kind === "old" && existsSync(join(parent, name)))) sweep(path);
  }
  for (const { path, kind } of leftoversIn(folder)) {
    if (kind === "draft") sweep(path);
    else if (kind === "ready") {
      const isOld = (name: string) => /^\.old-\d+$/.test(name);
      const all = filesUnder(path);
      // What they were kept for has happened: the files that follow belong to the same set.
      for (const name of all.filter(isOld)) disk.unlink(join(path, name));
      moveAll(
        path,
        folder,
        all.filter((name) => !isOld(name)),
      );
    }
  }
}

/** Writes whole files into a folder, all of them or none. */
export function writeFiles(
  folder: string,
  files: readonly OutputFile[],
  keeper: Keeper = noKeeper,
): void {
  const set = new FileSet(folder, keeper);
  for (const { name, content } of files) set.add(name, content);
  set.finish();
}
