import { inflateRawSync } from "node:zlib";

/** The files of a zip archive (Word and OpenDocument files are such), by name. */
export function unzip(archive: Uint8Array): ReadonlyMap<string, Buffer> {
  const bytes = Buffer.from(archive);
  const end = bytes.lastIndexOf(Buffer.from("PK\x05\x06", "latin1"));
  if (end < 0) throw new Error("not a zip archive");
  const files = new Map<string, Buffer>();
  let at = bytes.readUInt32LE(end + 16);
  for (let left = bytes.readUInt16LE(end + 10); left > 0; left -= 1) {
    const [method, size] = [bytes.readUInt16LE(at + 10), bytes.readUInt32LE(at + 20)];
    const nameLength = bytes.readUInt16LE(at + 28);
    const name = bytes.toString("utf8", at + 46, at + 46 + nameLength);
    const local = bytes.readUInt32LE(at + 42);
    const start = local + 30 + bytes.readUInt16LE(local + 26) + bytes.readUInt16LE(local + 28);
    const data = bytes.subarray(start, start + size);
    files.set(name, method === 0 ? data : inflateRawSync(data));
    at += 46 + nameLength + bytes.readUInt16LE(at + 30) + bytes.readUInt16LE(at + 32);
  }
  return files;
}

/** Text of an XML part: tags out, entities undone, each run of blanks one blank. */
export const xmlText = (xml: string): string =>
  xml
    .replace(/<(?:text:s|text:tab|w:tab)[^>]*>/g, " ")
    .replace(/<[^>]+>/g, "")
    .replaceAll("&lt;", "<")
    .replaceAll("&gt;", ">")
    .replaceAll("&quot;", '"')
    .replaceAll("&apos;", "'")
    .replaceAll("&amp;", "&")
    .replace(/\s+/g, " ");
