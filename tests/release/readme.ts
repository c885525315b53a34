import { readFileSync } from "node:fs";

/** What README tells a reader to type and to write, taken from its text. */
export interface ReadmeParts {
  /** Command lines of the installed tool, in order: `npx dropwise check`. */
  readonly commands: readonly string[];
  /** Programs in TypeScript. */
  readonly programs: readonly string[];
}

export function readmeParts(): ReadmeParts {
  const text = readFileSync("README.md", "utf8");
  const programs = [...text.matchAll(/^```ts\n([\s\S]*?)^```$/gm)].map(([, code]) => code!);
  const commands = [...text.matchAll(/`(npx dropwise [^`]+)`/g)].map(([, line]) =>
    line!.replaceAll(/\s+/g, " "),
  );
  return { commands, programs };
}
