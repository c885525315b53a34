/** Encodings that sheets come in. */
export type Encoding = "utf-8" | "utf-16le" | "utf-16be" | "windows-1252";

/** Every second byte zero in most places: Latin letters in UTF-16 without a mark. */
function looksLikeUtf16(bytes: Uint8Array, zeroAt: 0 | 1): boolean {
  const head = bytes.subarray(0, 1000);
  const pairs = head.length >> 1;
  let zeros = 0;
  for (let i = 0; i < pairs; i++) {
    if (head[2 * i + 1 - zeroAt] === 0) return false;
    if (head[2 * i + zeroAt] === 0) zeros += 1;
  }
  return pairs > 1 && zeros > 0.7 * pairs;
}

function isUtf8(bytes: Uint8Array): boolean {
  try {
    // `stream` forgives a character that the end of the bytes cuts in two.
    new TextDecoder("utf-8", { fatal: true }).decode(bytes, { stream: true });
    return true;
  } catch {
    return false;
  }
}

/**
 * The encoding of a file, from its first bytes (the more, the surer).
 *
 * By byte-order mark; else UTF-16 where every second byte is zero; else UTF-8 where the bytes are
 * valid UTF-8; else windows-1252, in which old spreadsheets write and any bytes are text (some
 * platforms read its bytes 0x80 to 0x9F as Latin-1 does).
 */
export function encodingOf(head: Uint8Array): Encoding {
  if (head[0] === 0xff && head[1] === 0xfe) return "utf-16le";
  if (head[0] === 0xfe && head[1] === 0xff) return "utf-16be";
  if (looksLikeUtf16(head, 1)) return "utf-16le";
  if (looksLikeUtf16(head, 0)) return "utf-16be";
  return isUtf8(head) ? "utf-8" : "windows-1252";
}

/** A file's bytes as text, the byte-order mark taken off. Any bytes give some text. */
export const decodeText = (bytes: Uint8Array): string =>
  new TextDecoder(encodingOf(bytes)).decode(bytes);
