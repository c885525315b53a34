import { systemCode } from "./store/system-words.ts";

/** Where a command's words go: standard output and standard error of a process. */
export interface Outlet {
  write(text: string): unknown;
  on(event: "error", listener: (error: Error) => void): unknown;
}

/**
 * Control characters (but tab and line ends) and those that turn the direction of writing: a name
 * from a file must not move a terminal's cursor, colour it or hide what it says.
 */
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
const unsafe = /[\0-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]/g;

/** The sequences that this program writes itself: colours, and the beginning of a cleared line. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
const own = /\x1b\[[0-9;]*m|\r(?:\x1b\[K|(?=\n))/g;

/** A text that is safe to print, the program's own colours kept where it was asked for any. */
export function printable(text: string, keepOwn: boolean): string {
  const safe = (part: string): string =>
    part.replace(unsafe, (letter) => (letter === "\r" ? "" : "\uFFFD"));
  if (!keepOwn) return safe(text.replaceAll("\r\n", "\n"));
  let done = "";
  let from = 0;
  for (const found of text.matchAll(own)) {
    done += safe(text.slice(from, found.index)) + found[0];
    from = found.index + found[0].length;
  }
  return done + safe(text.slice(from));
}

/**
 * Writes to a process's outlet until nobody reads any more.
 *
 * A closed pipe is no fault and changes no exit status: whoever reads has seen enough, as `head` has,
 * and the command goes on to write its files. Any other trouble (`/dev/full`) is `fault`.
 */
export class Output {
  readonly #outlet: Outlet;
  #open = true;
  #fault: string | null = null;

  constructor(outlet: Outlet) {
    this.#outlet = outlet;
    outlet.on("error", (error) => this.#stop(error));
  }

  write(text: string): void {
    if (!this.#open) return;
    try {
      this.#outlet.write(text);
    } catch (error) {
      this.#stop(error);
    }
  }

  /** The system's code of what kept output from being written; null where nothing did. */
  get fault(): string | null {
    return this.#fault;
  }

  #stop(error: unknown): void {
    const code = systemCode(error);
    if (code === null) throw error;
    this.#open = false;
    if (code !== "EPIPE" && code !== "ERR_STREAM_DESTROYED") this.#fault ??= code;
  }
}
