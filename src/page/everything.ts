import { strToU8, unzipSync, zipSync } from "fflate";
import { deckLogs } from "./deck-logs.ts";
import { fileBytes, type KeptFile, type PoolRecord, sheetsOf, uniqueName } from "./record.ts";
import type { OutFile } from "./save-file.ts";

/**
 * Everything in one archive: a folder for each pool, as the command finds one (pool.yaml, readings/,
 * work.csv, the logs of the deck day). Brought in elsewhere it restores the page; brought in where some of it is known, it adds
 * what is new.
 */
export function archiveOf(pools: readonly PoolRecord[]): OutFile {
  const folders: string[] = [];
  const files: Record<string, Uint8Array> = {};
  for (const record of pools) {
    const plain = record.name.replaceAll(/[^\p{L}\p{N} _-]+/gu, "").trim() || "pool";
    const folder = uniqueName(plain, folders);
    folders.push(folder);
    files[`${folder}/pool.yaml`] = fileBytes(record.pool);
    for (const sheet of sheetsOf(record))
      files[`${folder}/readings/${sheet.name}`] = fileBytes(sheet);
    if (record.work !== null) files[`${folder}/work.csv`] = fileBytes(record.work);
    for (const log of deckLogs) {
      const file = record[log];
      if (file !== null) files[`${folder}/${log}.csv`] = fileBytes(file);
    }
  }
  files["READ ME.txt"] = strToU8(readMe);
  const content = zipSync(files) as Uint8Array<ArrayBuffer>;
  return { name: "dropwise-everything.zip", type: "application/zip", content };
}

const readMe =
  "One folder for each pool. On a phone: open the page, Files, and pick this archive as it is.\n" +
  "With the command: unpack it and run dropwise in a pool's folder.\n";

/** The files of each folder of an archive; null where it is none. */
export function foldersOf(archive: KeptFile): readonly (readonly KeptFile[])[] | null {
  if (archive.bytes[0] !== 0x50 || archive.bytes[1] !== 0x4b) return null;
  try {
    const folders = new Map<string, KeptFile[]>();
    for (const [path, bytes] of Object.entries(unzipSync(archive.bytes))) {
      if (!/\.(ya?ml|json|csv|tsv)$/i.test(path)) continue;
      const [folder = ""] = path.includes("/") ? path.split("/") : [""];
      const name = path.replace(/^.*\//, "");
      folders.set(folder, [...(folders.get(folder) ?? []), { name, bytes, added: [] }]);
    }
    return [...folders.values()];
  } catch {
    return null;
  }
}
