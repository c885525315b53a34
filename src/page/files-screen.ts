import { rejectedCsv } from "../intake/rejected-csv.ts";
import type { App } from "./app.ts";
import { button, type Child, h, refill } from "./element.ts";
import { importFiles, keptFile } from "./import-files.ts";
import { fileBytes, type KeptFile, newFile } from "./record.ts";
import { canShare, type OutFile, saveFile, shareFiles } from "./save-file.ts";
import type { Screen } from "./screen.ts";

const csv = "text/csv";

const outFile = (file: KeptFile, type: string): OutFile => ({
  name: file.name,
  type,
  content: fileBytes(file),
});

/** Files in and out: the same files that the command reads and writes. */
export class FilesScreen implements Screen {
  readonly node: HTMLElement;
  readonly #app: App;
  readonly #makeReport: (app: App) => Promise<OutFile>;
  readonly #said = h("div", { class: "said", role: "status" });
  readonly #out = h("div", {});
  readonly #rejects = h("div", {});
  readonly #paste = h("textarea", { id: "paste", name: "paste", rows: "4", spellcheck: "false" });

  constructor(app: App, makeReport: (app: App) => Promise<OutFile>) {
    this.#app = app;
    this.#makeReport = makeReport;
    const picker = h("input", {
      id: "picker",
      type: "file",
      multiple: true,
      accept: ".yaml,.yml,.json,.csv,.tsv,.txt",
      on: {
        change: () => {
          void this.#take([...(picker.files ?? [])]);
          picker.value = "";
        },
      },
    });
    this.node = h(
      "section",
      { "aria-labelledby": "files-title" },
      h("h1", { id: "files-title", tabindex: "-1" }, "Files"),
      h("h2", {}, "Bring in"),
      h(
        "p",
        {},
        "pool.yaml, readings.csv, work.csv: pick them, drop them anywhere on this page, or paste rows from a spreadsheet.",
      ),
      h("label", { for: "picker" }, "Pick files"),
      picker,
      h("label", { for: "paste" }, "Paste rows, the header row first"),
      this.#paste,
      button("Take pasted rows", () => void this.#takePaste()),
      this.#said,
      this.#rejects,
      this.#out,
      licences(),
    );
  }

  update(): void {
    this.#fillOut();
    this.#fillRejects();
  }

  /** Files that were dropped anywhere on the page. */
  async drop(files: readonly File[]): Promise<void> {
    this.#app.go("files");
    await this.#take(files);
  }

  async #take(files: readonly File[]): Promise<void> {
    await this.#import(await Promise.all(files.map(keptFile)));
  }

  async #takePaste(): Promise<void> {
    const text = this.#paste.value;
    if (text.trim() === "") return this.#say(["Nothing is pasted yet."]);
    await this.#import([newFile("pasted.csv", text)]);
    this.#paste.value = "";
  }

  async #import(files: readonly KeptFile[]): Promise<void> {
    try {
      this.#say(await importFiles(this.#app, files));
    } catch (error) {
      this.#say([`Not stored: ${error instanceof Error ? error.message : String(error)}`]);
    }
  }

  #say(lines: readonly string[]): void {
    refill(
      this.#said,
      ...lines.flatMap((line) => line.split("\n")).map((line) => h("p", {}, line)),
    );
  }

  #files(): readonly OutFile[] {
    const { record } = this.#app;
    if (record === null) return [];
    return [
      outFile(record.pool, "application/yaml"),
      ...record.sheets.map((sheet) => outFile(sheet, csv)),
      ...(record.work === null ? [] : [outFile(record.work, csv)]),
    ];
  }

  #fillOut(): void {
    const files = this.#files();
    const share = files.length > 0 && canShare(files);
    refill(
      this.#out,
      h("h2", {}, "Take out"),
      files.length === 0 && h("p", {}, "There is nothing to export yet."),
      h(
        "div",
        { class: "stack" },
        ...files.map((file) => button(`Save ${file.name}`, () => saveFile(file))),
        files.length > 0 && button("Save the report (HTML)", () => void this.#report(saveFile)),
        share &&
          button("Share all files", () => void shareFiles(this.#app.record?.name ?? "", files)),
        share &&
          button("Share the report", () => void this.#report((one) => shareFiles(one.name, [one]))),
      ),
    );
  }

  async #report(give: (file: OutFile) => void | Promise<void>): Promise<void> {
    try {
      this.#say(["Writing the report …"]);
      await give(await this.#makeReport(this.#app));
      this.#say(["The report is written."]);
    } catch (error) {
      this.#say([`No report: ${error instanceof Error ? error.message : String(error)}`]);
    }
  }

  #fillRejects(): void {
    const { contents } = this.#app;
    const rejected = contents?.rejected ?? [];
    const work = contents?.rejectedWork ?? [];
    const notes = [...(contents?.faults ?? []), ...(contents?.warnings ?? [])];
    const file: OutFile = { name: "rejected.csv", type: csv, content: rejectedCsv(rejected) };
    const rows: readonly Child[] = [...rejected, ...work].map((one) =>
      h(
        "li",
        {},
        h("strong", {}, `${one.file}, line ${one.line}: `),
        one.reason,
        h("code", {}, one.text),
      ),
    );
    refill(
      this.#rejects,
      ...notes.map((one) =>
        h(
          "p",
          { class: "note" },
          `${one.file}${one.place === "" ? "" : `, ${one.place}`}: ${one.message}`,
        ),
      ),
      rows.length > 0 && h("h2", {}, `${rows.length} rows could not be used`),
      rows.length > 0 && h("ul", { class: "rejects" }, ...rows),
      rejected.length > 0 && button("Save rejected.csv to mend it", () => saveFile(file)),
    );
  }
}

/** Whose code the page carries, and under which terms; laid out only when somebody looks. */
function licences(): HTMLElement {
  const text = h("div", { class: "licences small" });
  const node = h("details", {}, h("summary", {}, "Licences of the code in this page"), text);
  node.addEventListener("toggle", () => {
    text.textContent ||= document.getElementById("licence-notices")?.textContent?.trim() ?? "";
  });
  return node;
}
