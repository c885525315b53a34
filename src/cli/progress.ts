import type { Io } from "./command.ts";

/** One line on standard error that is written over and over, and is gone at the end. */
export interface ProgressLine {
  readonly show: (text: string) => void;
  readonly clear: () => void;
}

/** Shows nothing where standard error is no terminal, and at most ten times a second where it is. */
export function progressLine(io: Io): ProgressLine {
  let last = 0;
  return {
    show: (text) => {
      const now = performance.now();
      if (!io.progress || now - last < 100) return;
      last = now;
      io.err(`\r\u001b[K${text}`);
    },
    clear: () => {
      if (io.progress) io.err("\r\u001b[K");
    },
  };
}
