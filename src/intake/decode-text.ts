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

/** UTF-16 by its mark or its zeros, else null. */
function utf16Of(head: Uint8Array): "utf-16le" | "utf-16be" | null {
  if (head[0] === 0xff && head[1] === 0xfe) return "utf-16le";
  if (head[0] === 0xfe && head[1] === 0xff) return "utf-16be";
  if (looksLikeUtf16(head, 1)) return "utf-16le";
  return looksLikeUtf16(head, 0) ? "utf-16be" : null;
}

/** Bytes that a character takes by its first byte, RFC 3629; 0 where no character begins so. */
function bytesOfCharacter(first: number): number {
  if (first < 0x80) return 1;
  if (first >= 0xc2 && first <= 0xdf) return 2;
  if (first >= 0xe0 && first <= 0xef) return 3;
  return first >= 0xf0 && first <= 0xf4 ? 4 : 0;
}

const strict = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true });

function isUtf8(bytes: Uint8Array): boolean {
  try {
    strict.decode(bytes);
    return true;
  } catch {
    return false;
  }
}

/** Bytes from the front that are whole characters of UTF-8; the rest may be the half of one. */
function utf8Length(bytes: Uint8Array): number {
  let at = 0;
  while (at < bytes.length) {
    const length = bytesOfCharacter(bytes[at]!);
    if (length === 1) at += 1;
    else if (length === 0 || at + length > bytes.length) return at;
    else if (isUtf8(bytes.subarray(at, at + length))) at += length;
    else return at;
  }
  return at;
}

/** Could these last bytes be the beginning of one character of UTF-8? */
function isHalfCharacter(bytes: Uint8Array): boolean {
  const length = bytes.length === 0 ? 0 : bytesOfCharacter(bytes[0]!);
  return bytes.length < length && bytes.subarray(1).every((byte) => byte >> 6 === 2);
}

const breaks = (text: string): number => text.match(/\r\n|\n|\r/g)?.length ?? 0;

/**
 * A file's bytes to text, piece by piece and told by the whole file: UTF-16 by its mark or its zeros,
 * else UTF-8 up to the first byte that can't be UTF-8. From there on it is windows-1252, in which old
 * spreadsheets write and any bytes are text; `said` then tells so. What came before stands as it is:
 * plain ASCII is the same in both. The byte-order mark is taken off.
 */
export class DecodedText {
  #decoder: TextDecoder | null = null;
  #encoding: Encoding = "utf-8";
  /** Bytes of a character whose end has not come yet. */
  #rest: Uint8Array = new Uint8Array(0);
  #begun = false;
  #lines = 1;
  #anything = false;
  #switched: number | null = null;

  /** Takes the next bytes. */
  feed(bytes: Uint8Array): string {
    if (!this.#begun) this.#begin(bytes);
    if (this.#decoder !== null) return this.#decoder.decode(bytes, { stream: true });
    return this.#utf8(joined(this.#rest, bytes), false);
  }

  /** The bytes are over. */
  end(): string {
    if (this.#decoder !== null) return this.#decoder.decode();
    return this.#utf8(this.#rest, true);
  }

  get encoding(): Encoding {
    return this.#encoding;
  }

  /** A word about the encoding, null where there is nothing to say. */
  get said(): { readonly place: string; readonly message: string } | null {
    if (this.#switched === null) return null;
    const message = "is not UTF-8 from here on and is read as windows-1252: look at the accents";
    return { place: `line ${this.#switched}`, message };
  }

  #begin(bytes: Uint8Array): void {
    this.#begun = true;
    const utf16 = utf16Of(bytes);
    if (utf16 === null) return;
    this.#encoding = utf16;
    this.#decoder = new TextDecoder(utf16);
  }

  #utf8(bytes: Uint8Array, last: boolean): string {
    const whole = this.#whole(bytes);
    const good = whole ?? utf8Length(bytes);
    const text = this.#unmarked(strict.decode(bytes.subarray(0, good)));
    const behind = bytes.subarray(good);
    if (behind.length === 0 || (!last && isHalfCharacter(behind))) {
      this.#rest = behind.slice();
      this.#lines += breaks(text);
      return text;
    }
    this.#switched = this.#lines + breaks(text);
    this.#encoding = "windows-1252";
    this.#decoder = new TextDecoder("windows-1252");
    return text + this.#decoder.decode(behind, { stream: true });
  }

  /** The quick way: all of it is UTF-8, or all but the beginning of one last character. */
  #whole(bytes: Uint8Array): number | null {
    if (isUtf8(bytes)) return bytes.length;
    for (let cut = 1; cut < 4 && cut <= bytes.length; cut++) {
      const at = bytes.length - cut;
      if (isHalfCharacter(bytes.subarray(at)) && isUtf8(bytes.subarray(0, at))) return at;
    }
    return null;
  }

  #unmarked(text: string): string {
    if (this.#anything || text === "") return text;
    this.#anything = true;
    return text.startsWith("\uFEFF") ? text.slice(1) : text;
  }
}

function joined(a: Uint8Array, b: Uint8Array): Uint8Array {
  if (a.length === 0) return b;
  const both = new Uint8Array(a.length + b.length);
  both.set(a, 0);
  both.set(b, a.length);
  return both;
}

/** A whole file's bytes as text, its encoding, and what is to be said about that. */
export function decodeFile(bytes: Uint8Array): {
  readonly text: string;
  readonly encoding: Encoding;
  readonly said: DecodedText["said"];
} {
  const decoded = new DecodedText();
  const text = decoded.feed(bytes) + decoded.end();
  return { text, encoding: decoded.encoding, said: decoded.said };
}

/** A file's bytes as text. Any bytes give some text. */
export const decodeText = (bytes: Uint8Array): string => decodeFile(bytes).text;

/** The encoding of a file. */
export const encodingOf = (bytes: Uint8Array): Encoding => decodeFile(bytes).encoding;
