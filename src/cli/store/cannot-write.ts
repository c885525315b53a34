import { UnusableInput } from "../command.ts";
import { systemCode, systemWords } from "./system-words.ts";

/** A system error as the one sentence that the user reads; any other error as it is. */
export function unusable(path: string, error: unknown): unknown {
  const code = systemCode(error);
  return code === null ? error : new UnusableInput(`${path} ${systemWords(code)}`);
}
