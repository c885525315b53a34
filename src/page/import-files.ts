import { encodingOf } from "../intake/decode-text.ts";
import { readPool } from "../intake/pool/read-pool.ts";
import { counted } from "../report/names.ts";
import { mergeWork } from "./add-work.ts";
import type { App } from "./app.ts";
import { contentsOf } from "./contents.ts";
import { type DeckLog, deckLogOf, deckLogs, mergeLog } from "./deck-logs.ts";
import { foldersOf } from "./everything.ts";
import { importedSheet } from "./import-sheet.ts";
import { fileText, type KeptFile } from "./record.ts";

export type FileKind = "pool" | "readings" | "work" | DeckLog;

/** What a file is, from its name and, for a table, from its header. */
export function fileKind(name: string, text: string): FileKind {
  if (/\.(ya?ml|json)$/i.test(name)) return "pool";
  const head = text.slice(0, 2000).replace(/^\uFEFF/, "");
  const first = head.split(/\r\n|\n|\r/).find((line) => line.trim() !== "" && !/^sep=/i.test(line));
  if (/^\s*pool\s*:/m.test(head) && /^\s*lanes\s*:/m.test(head)) return "pool";
  const names = (first ?? "")
    .toLowerCase()
    .split(/[,;\t]/)
    .map((one) => one.trim().replaceAll('"', ""));
  const log = deckLogOf(names);
  if (log !== null) return log;
  return names.includes("done_at") || names.includes("action") ? "work" : "readings";
}

const textOf = (file: KeptFile): string => fileText(file);

async function importPool(app: App, file: KeptFile): Promise<string> {
  const result = readPool(textOf(file), file.name);
  if (!result.ok) return faultWords(result.error);
  const { name } = result.value;
  const known = app.pools.find((one) => one.name === name);
  if (known === undefined) {
    await app.addPool(name, file);
    return `${file.name}: new pool ${name}.`;
  }
  app.openPool(known.id);
  if (fileText(known.pool) === textOf(file)) return `${file.name}: ${name} is known already.`;
  await app.changeFiles((now) => ({ ...now, pool: file }));
  return `${file.name}: replaces the pool file of ${name}; its readings stay.`;
}

async function importReadings(app: App, file: KeptFile): Promise<string> {
  const { record, contents } = app;
  if (record === null || contents === null)
    return `${file.name} was not taken: set up or import its pool first.`;
  const came = importedSheet(record, contents, file);
  if (came.faults.length > 0) return faultWords(came.faults);
  if (came.kept === null)
    return came.known === Number.POSITIVE_INFINITY
      ? `${file.name} was imported before; nothing is counted twice.`
      : `${file.name} holds nothing new; nothing is counted twice.`;
  // What is stored by now may be more than what this tab has seen.
  await app.changeFiles((now) => ({
    ...now,
    sheets: importedSheet(now, contentsOf(now), file).kept ?? now.sheets,
  }));
  const { name, fresh, struck, rejected, known } = came;
  const parts = [
    `${name}: ${counted(fresh, "reading")}.`,
    known > 0 ? `${counted(known, "row")} known already.` : "",
    struck > 0 ? `${counted(struck, "reading")} struck out.` : "",
    rejected > 0 ? `${counted(rejected, "row")} could not be used; see below.` : "",
  ];
  return parts.filter((one) => one !== "").join(" ");
}

async function importWork(app: App, file: KeptFile): Promise<string> {
  const before = app.record;
  if (before === null) return `${file.name} was not taken: set up or import its pool first.`;
  const merged = contentsOf({ ...before, work: mergeWork(before.work, file) });
  const own = merged.faults.filter((one) => one.file === file.name);
  if (own.length > 0) return faultWords(own);
  await app.changeFiles((now) => ({ ...now, work: mergeWork(now.work, file) }));
  const { work = [], rejectedWork = [] } = app.contents ?? {};
  const lost =
    rejectedWork.length === 0
      ? ""
      : ` ${counted(rejectedWork.length, "row")} could not be used; see below.`;
  return `${file.name}: ${counted(work.length, "line")} of work.${lost}`;
}

async function importLog(app: App, file: KeptFile, log: DeckLog): Promise<string> {
  const before = app.record;
  if (before === null) return `${file.name} was not taken: set up or import its pool first.`;
  const alone = contentsOf({ ...before, [log]: { ...file, name: `${log}.csv` } });
  const own = alone.faults.filter((one) => one.file === `${log}.csv`);
  if (own.length > 0) return faultWords(own);
  await app.changeFiles((now) => ({ ...now, [log]: mergeLog(log, now[log], file) }));
  const lines = app.contents?.[log].length ?? 0;
  const lost = (app.contents?.rejectedWork ?? []).filter((one) => one.file === `${log}.csv`).length;
  return (
    `${file.name}: ${counted(lines, "line")} in ${log}.csv.` +
    (lost === 0 ? "" : ` ${counted(lost, "row")} could not be used; see below.`)
  );
}

const faultWords = (
  faults: readonly { readonly file: string; readonly place: string; readonly message: string }[],
): string =>
  faults
    .map(({ file, place, message }) => `${file}${place === "" ? "" : `, ${place}`}: ${message}`)
    .join("\n");

/** Takes files and whole archives in, and says of each what became of it. */
export async function importFiles(
  app: App,
  files: readonly KeptFile[],
): Promise<readonly string[]> {
  const said: string[] = [];
  const loose: KeptFile[] = [];
  for (const file of files) {
    const folders = foldersOf(file);
    if (folders === null) loose.push(file);
    else for (const folder of folders) said.push(...(await importFolder(app, folder)));
  }
  return [...said, ...(await importFolder(app, loose))];
}

/** Files of one pool, its pool file first. */
async function importFolder(app: App, files: readonly KeptFile[]): Promise<readonly string[]> {
  const order: readonly FileKind[] = ["pool", "work", ...deckLogs, "readings"];
  const sorted = files
    .map((file) => ({ file, kind: fileKind(file.name, textOf(file)) }))
    .toSorted((a, b) => order.indexOf(a.kind) - order.indexOf(b.kind));
  const said: string[] = [];
  for (const { file, kind } of sorted) {
    if (kind === "pool") said.push(await importPool(app, file));
    else if (kind === "work") said.push(await importWork(app, file));
    else if (kind === "readings") said.push(await importReadings(app, file));
    else said.push(await importLog(app, file, kind));
    if (encodingOf(file.bytes) === "windows-1252")
      said.push(`${file.name} is not UTF-8; it was read as Windows-1252.`);
  }
  return said;
}

/** A file from the picker or a drop, as it came. */
export const keptFile = async (file: File): Promise<KeptFile> => ({
  name: file.name,
  bytes: new Uint8Array(await file.arrayBuffer()),
  added: [],
});
