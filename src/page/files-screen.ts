import { rejectedCsv } from "../intake/rejected-csv.ts";
import { counted } from "../report/names.ts";
import { signedSheet } from "../report/signed-sheet.ts";
import type { App } from "./app.ts";
import { makeMemo, makeReport } from "./document-files.ts";
import { button, type Child, h, refill } from "./element.ts";
import { archiveOf } from "./everything.ts";
import { importFiles, keptFile } from "./import-files.ts";
import { fileBytes, type KeptFile, logsOf, newFile, type PoolRecord, sheetsOf } from "./record.ts";
import { canShare, type OutFile, saveFile, shareFiles } from "./save-file.ts";
import type { Screen } from "./screen.ts";

const csv = "text/csv";

const outFile = (file: KeptFile, type: string): OutFile => ({
  name: file.name,
  type,
  content: fileBytes(file),
});

/** What becomes of files that were written; gives what the user is to do, null for nothing. */
type Give = (files: readonly OutFile[]) => Promise<string | null>;

/** Files in and out: the same files that the command reads and writes. */
export class FilesScreen implements Screen {
  readonly node: HTMLElement;
  readonly #app: App;
  readonly #said = h("div", { class: "said", role: "status" });
  /** How far a long computation is; no status, or every step would be read aloud. */
  readonly #progress = h("p", { class: "small" });
  readonly #out = h("div", {});
  readonly #rejects = h("div", {});
  #outOf: PoolRecord | null | undefined;
  #importing: Promise<void> = Promise.resolve();
  #writing = false;
  /** What was written last, and of what: wanted again, it is there at once. */
  readonly #written = new Map<"report" | "memo", { of: unknown; files: readonly OutFile[] }>();
  readonly #paste = h("textarea", { id: "paste", name: "paste", rows: "4", spellcheck: "false" });

  constructor(app: App) {
    this.#app = app;
    const picker = h("input", {
      id: "picker",
      type: "file",
      multiple: true,
      accept: ".yaml,.yml,.json,.csv,.tsv,.txt,.zip",
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
        "Sheets of readings, pool.yaml, work.csv, touches.csv, pads.csv, parts.csv, or everything in one file from another phone: pick them, drop them anywhere on this page, or paste rows from a spreadsheet. What is known already is not counted twice.",
      ),
      h("label", { for: "picker" }, "Pick files"),
      picker,
      h("label", { for: "paste" }, "Paste rows, the header row first"),
      this.#paste,
      button("Take pasted rows", () => this.#takePaste()),
      this.#said,
      this.#progress,
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
    if (this.#paste.value === text) this.#paste.value = "";
  }

  /** One import after another: what comes while a pool file is being taken belongs to that pool. */
  #import(files: readonly KeptFile[]): Promise<void> {
    this.#importing = this.#importing.then(async () => {
      try {
        this.#say(await importFiles(this.#app, files));
      } catch (error) {
        this.#say([`Not stored: ${error instanceof Error ? error.message : String(error)}`]);
      }
    });
    return this.#importing;
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
      ...sheetsOf(record).map((sheet) => outFile(sheet, csv)),
      ...logsOf(record).map((log) => outFile(log, csv)),
    ];
  }

  /** Filled anew only for what is new: a list that somebody opened stays open. */
  #fillOut(): void {
    const { record } = this.#app;
    if (record === this.#outOf) return;
    this.#outOf = record;
    const files = this.#files();
    const share = files.length > 0 && canShare(files);
    refill(
      this.#out,
      h("h2", {}, "Take out"),
      files.length === 0 && h("p", {}, "There is nothing to export yet."),
      h(
        "div",
        { class: "stack" },
        files.length > 0 &&
          button("Save everything in one file", () => saveFile(archiveOf(this.#app.pools)), {
            class: "main",
          }),
        ...files.map((file) => button(`Save ${file.name}`, () => saveFile(file))),
        share && button("Share all files", () => this.#share(files)),
      ),
      this.#removal(),
      files.length > 0 && this.#documents(share),
    );
  }

  /** A sheet that should not have come in can go again; what it alone said no longer counts. */
  #removal(): HTMLElement | null {
    const sheets = this.#app.record?.sheets ?? [];
    if (sheets.length === 0) return null;
    const remove = async (name: string): Promise<void> => {
      await this.#app.changeFiles((now) => ({
        ...now,
        sheets: now.sheets.filter((sheet) => sheet.name !== name),
      }));
      this.#say([`${name} is removed; what it alone said no longer counts.`]);
    };
    return h(
      "details",
      {},
      h("summary", {}, "Remove a sheet that was brought in"),
      h(
        "div",
        { class: "stack" },
        ...sheets.map(({ name }) =>
          button(`Remove ${name}`, () => remove(name), { class: "danger" }),
        ),
      ),
    );
  }

  async #share(files: readonly OutFile[]): Promise<void> {
    try {
      const words = await shareFiles(this.#app.record?.name ?? "", files);
      if (words !== null) this.#say([words]);
    } catch (error) {
      this.#say([`Not shared: ${error instanceof Error ? error.message : String(error)}`]);
    }
  }

  /** The documents that are written from the files: the report of a walk, the memo of all. */
  #documents(share: boolean): HTMLElement {
    const all: Give = async (files) => {
      files.forEach(saveFile);
      return null;
    };
    const pass: Give = (files) => shareFiles(files[0]?.name ?? "", files);
    const html = ({ name }: OutFile): boolean => name.endsWith(".html");
    const report = (give: Give): void => void this.#write("report", give);
    const memo = (wanted: (file: OutFile) => boolean, give: Give): void =>
      void this.#write("memo", (files) => give(files.filter(wanted)));
    return h(
      "div",
      {},
      h("h2", {}, "Report and memo"),
      h(
        "p",
        { class: "small" },
        "The report is of the walk shown under Result. The memo asks for money: it rests on all walks, the work log and the prices of the pool file, and what nobody told this page stays a blank to fill in. The command writes it for Word too, and takes the facility's own words from a file.",
      ),
      h(
        "div",
        { class: "stack" },
        button("Save the report (HTML)", () => report(all)),
        button("Save the sheet for the referee", () => this.#sheet()),
        share && button("Share the report", () => report(pass)),
        button("Save the memo (HTML)", () => memo(html, all)),
        button("Save the memo (Markdown, with its pictures)", () =>
          memo((file) => !html(file), all),
        ),
        share && button("Share the memo", () => memo(html, pass)),
      ),
    );
  }

  /** One page to sign: who read and pressed what, when, on which meter. */
  async #sheet(): Promise<void> {
    try {
      const { walk, diagnosis } = await this.#app.currentFindings();
      const { pool, contents } = this.#app;
      if (pool === null || contents === null) return;
      const content = signedSheet(pool, diagnosis, this.#app.readingsOf(walk), contents.touches);
      const name = `sheet-${walk.replaceAll(/[^\w.-]+/g, "-")}.html`;
      saveFile({ name, type: "text/html", content });
      this.#say(["The sheet is written: print it, and let it be signed."]);
    } catch (error) {
      this.#say([`No sheet: ${error instanceof Error ? error.message : String(error)}`]);
    }
  }

  async #write(what: "report" | "memo", give: Give): Promise<void> {
    if (this.#writing) return;
    this.#writing = true;
    try {
      this.#say([`Writing the ${what} …`]);
      const words = await give(await this.#document(what));
      this.#say([words ?? `The ${what} is written.`]);
    } catch (error) {
      this.#say([`No ${what}: ${error instanceof Error ? error.message : String(error)}`]);
    } finally {
      this.#writing = false;
      refill(this.#progress);
    }
  }

  async #document(what: "report" | "memo"): Promise<readonly OutFile[]> {
    const of = what === "memo" ? this.#app.contents : await this.#app.currentFindings();
    const known = this.#written.get(what);
    if (known !== undefined && known.of === of) return known.files;
    const progress = (words: string): void => refill(this.#progress, words);
    const files = await (what === "memo" ? makeMemo(this.#app, progress) : makeReport(this.#app));
    this.#written.set(what, { of, files });
    return files;
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
      rows.length > 0 && h("h2", {}, `${counted(rows.length, "row")} could not be used`),
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
