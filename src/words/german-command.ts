import type { CommandWords } from "./command-words.ts";

/** Around an answer, in German. */
export const germanCommand: CommandWords = {
  onlyEnglish: (command) => `dropwise ${command} gibt es bisher nur auf Englisch.`,
  from: (folder, used) => `Aus ${folder ?? "diesem Ordner"}: ${used.join(", ")}`,
  remarks: "Zu den Dateien, bisher nur auf Englisch:",
  notUsed: (file, count) =>
    `Nicht verwendet aus ${file} (${count === 1 ? "sie" : "alle"} berichtigen und neu importieren; die Gründe gibt es bisher nur auf Englisch):`,
  lines: {
    one: (line) => `Zeile ${line}`,
    run: (first, last) => `Zeilen ${first} bis ${last}`,
    some: (lines) => `Zeilen ${lines.slice(0, -1).join(", ")} und ${lines.at(-1)}`,
    more: (lines, more) => `Zeilen ${lines.join(", ")} und ${more} mehr`,
  },
  suchAs: "etwa",
  reading: (percent, rows) => `${percent} % gelesen, ${rows} Zeilen`,
  diagnosing: (walk, of) => `Diagnose des Rundgangs ${walk} von ${of}`,
};
