import type { CommandWords } from "./command-words.ts";

/** Around an answer, in English. */
export const englishCommand: CommandWords = {
  onlyEnglish: (command) => `dropwise ${command} speaks English only so far.`,
  from: (folder, used) => `From ${folder ?? "this folder"}: ${used.join(", ")}`,
  remarks: null,
  notUsed: (file, count) =>
    `Not used of ${file} (mend ${count === 1 ? "it" : "them"} and import again):`,
  lines: {
    one: (line) => `line ${line}`,
    run: (first, last) => `lines ${first} to ${last}`,
    some: (lines) => `lines ${lines.slice(0, -1).join(", ")} and ${lines.at(-1)}`,
    more: (lines, more) => `lines ${lines.join(", ")} and ${more} more`,
  },
  suchAs: "such as",
  reading: (percent, rows) => `reading ${percent} %, ${rows} rows`,
  diagnosing: (walk, of) => `diagnosing walk ${walk} of ${of}`,
};
