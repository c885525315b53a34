import type { Output } from "./output.ts";
import { systemWords } from "./store/system-words.ts";

/** All output is written, or will never be: a full disk behind it is input that can't be used. */
export function tellFaultAtExit(out: Output, err: Output): void {
  process.on("beforeExit", () => {
    if (out.fault === null || process.exitCode === 2) return;
    err.write(`dropwise: standard output ${systemWords(out.fault)}\n`);
    process.exitCode = 2;
  });
}
