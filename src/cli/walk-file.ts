import {
  closeSync,
  existsSync,
  fstatSync,
  fsyncSync,
  ftruncateSync,
  openSync,
  readFileSync,
  writeFileSync,
  writeSync,
} from "node:fs";
import { csvLine } from "../intake/csv-cell.ts";
import { UnusableInput } from "./command.ts";
import { reason } from "./file-lock.ts";

/** Columns of the sheet that a guided walk writes. */
const walkColumns = [
  "walk",
  "lane",
  "device",
  "point",
  "volts",
  "taken_at",
  "meter",
  "meter_on",
  "state",
  "by",
] as const;

export type WalkRow = Readonly<Record<(typeof walkColumns)[number], string>>;

/**
 * The sheet of a walk that is being taken. A row is on the disk when `append` returns: one write,
 * then fsync. `cutLast` takes the last row off again; killed at any moment, the file holds whole
 * rows and nothing else.
 */
export class WalkFile {
  readonly #path: string;
  /** Where each row of the file starts [bytes]. */
  readonly #starts: number[] = [];
  #size = 0;

  private constructor(path: string) {
    this.#path = path;
  }

  /** A new sheet with its header; throws `UnusableInput` where the file is there already. */
  static begin(path: string): WalkFile {
    const file = new WalkFile(path);
    const header = csvLine(walkColumns);
    if (existsSync(path)) {
      throw new UnusableInput(
        `${path} is there already: go on with --resume, or name another file`,
      );
    }
    file.#guarded(() => writeFileSync(path, header, { flag: "wx", flush: true }));
    file.#size = Buffer.byteLength(header);
    return file;
  }

  /**
   * A sheet that an earlier run began. A last line that was cut short by a power loss is taken off:
   * its reading is asked for again.
   */
  static resume(path: string): { readonly file: WalkFile; readonly torn: string } {
    if (!existsSync(path)) throw new UnusableInput(`${path} does not exist: nothing to resume`);
    const file = new WalkFile(path);
    let bytes: Buffer = Buffer.alloc(0);
    file.#guarded(() => {
      bytes = readFileSync(path);
    });
    const header = csvLine(walkColumns);
    if (!bytes.subarray(0, header.length).equals(Buffer.from(header))) {
      throw new UnusableInput(`${path} was not begun by next --walk: its header is another`);
    }
    let at = header.length;
    for (let end = bytes.indexOf(10, at); end >= 0; end = bytes.indexOf(10, at)) {
      file.#starts.push(at);
      at = end + 1;
    }
    file.#size = bytes.length;
    const torn = bytes.subarray(at).toString("utf8");
    if (torn !== "") file.#cut(at);
    return { file, torn };
  }

  append(row: WalkRow): void {
    const bytes = Buffer.from(csvLine(walkColumns.map((name) => row[name])), "utf8");
    this.#open("a", (handle) => {
      if (writeSync(handle, bytes) !== bytes.length) throw new Error("the disk is full");
      fsyncSync(handle);
    });
    this.#starts.push(this.#size);
    this.#size += bytes.length;
  }

  /** Takes the last row off. */
  cutLast(): void {
    const start = this.#starts.at(-1);
    if (start === undefined) return;
    this.#cut(start);
    this.#starts.pop();
  }

  #cut(at: number): void {
    this.#open("r+", (handle) => {
      ftruncateSync(handle, at);
      fsyncSync(handle);
    });
    this.#size = at;
  }

  /** Does `work` on the file as this run left it; a file that somebody else wrote to is let be. */
  #open(flags: string, work: (handle: number) => void): void {
    this.#guarded(() => {
      const handle = openSync(this.#path, flags);
      try {
        if (fstatSync(handle).size !== this.#size) {
          throw new UnusableInput(`${this.#path} was changed by another program: --resume it`);
        }
        work(handle);
      } finally {
        closeSync(handle);
      }
    });
  }

  #guarded(work: () => void): void {
    try {
      work();
    } catch (error) {
      if (error instanceof UnusableInput) throw error;
      throw new UnusableInput(`can't write ${this.#path}: ${reason(error)}`);
    }
  }
}
