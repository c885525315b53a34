import { existsSync, readFileSync, statSync } from "node:fs";
import { csvLine, framedLine } from "../intake/csv-cell.ts";
import { UnusableInput } from "./command.ts";
import { disk } from "./store/disk.ts";
import { appendRows, beginFile, hasContent, setTornAside } from "./store/framed-log.ts";
import { reasonOf } from "./store/system-words.ts";
import { withFile } from "./store/write-whole.ts";

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

const header = csvLine(walkColumns);

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
    file.#guarded(() => {
      if (hasContent(path)) {
        const words = "is there already: go on with --resume, or name another file";
        throw new UnusableInput(`${path} ${words}`);
      }
      beginFile(path, header);
    });
    file.#size = Buffer.byteLength(header);
    return file;
  }

  /**
   * A sheet that an earlier run began. A last line that was cut short by a power loss is set aside:
   * its reading is asked for again. An empty one is begun.
   */
  static resume(path: string): { readonly file: WalkFile; readonly torn: string } {
    if (!existsSync(path)) throw new UnusableInput(`${path} does not exist: nothing to resume`);
    const file = new WalkFile(path);
    let torn = "";
    let bytes: Buffer = Buffer.alloc(0);
    file.#guarded(() => {
      if (!hasContent(path)) beginFile(path, header);
      bytes = readFileSync(path);
      if (!bytes.subarray(0, header.length).equals(Buffer.from(header))) {
        throw new UnusableInput(`${path} was not begun by next --guide: its header is another`);
      }
      torn = setTornAside(path);
      bytes = readFileSync(path);
    });
    let at = header.length;
    for (let end = bytes.indexOf(10, at); end >= 0; end = bytes.indexOf(10, at)) {
      file.#starts.push(at);
      at = end + 1;
    }
    file.#size = bytes.length;
    return { file, torn };
  }

  append(row: WalkRow): void {
    const line = framedLine(walkColumns.map((name) => row[name]));
    this.#guarded(() => {
      this.#sameAsLeft();
      appendRows(this.#path, line);
    });
    this.#starts.push(this.#size);
    this.#size += Buffer.byteLength(line);
  }

  /** Takes the last row off. */
  cutLast(): void {
    const start = this.#starts.at(-1);
    if (start === undefined) return;
    this.#guarded(() => {
      this.#sameAsLeft();
      withFile(this.#path, "r+", (handle) => {
        disk.truncate(handle, start);
        disk.flush(handle);
      });
    });
    this.#size = start;
    this.#starts.pop();
  }

  /** A file that somebody else wrote to meanwhile is let be. */
  #sameAsLeft(): void {
    if (statSync(this.#path).size === this.#size) return;
    throw new UnusableInput(`${this.#path} was changed by another program: --resume it`);
  }

  #guarded(work: () => void): void {
    try {
      work();
    } catch (error) {
      if (error instanceof UnusableInput) throw error;
      throw new UnusableInput(`can't write ${this.#path}: ${reasonOf(error)}`);
    }
  }
}
