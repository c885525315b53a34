import { createReadStream, fstatSync, statSync } from "node:fs";
import { type DecodedText, decodeFile } from "../intake/decode-text.ts";
import { UnusableInput } from "./command.ts";
import { isMarkup, isSpreadsheet } from "./spreadsheet/is-spreadsheet.ts";
import { unusable } from "./store/cannot-write.ts";

/** Largest file that is read whole: pool file, work log, spreadsheet [bytes]. */
const largestWhole = 20_000_000;

/** Bytes read at a time: so few that a piece's rows are gone before the next one comes. */
const pieceBytes = 1 << 16;

/** Bytes that tell a spreadsheet program's file from text. */
const magicBytes = 8;

/** Standard input, by any of its names: opened by one, a socket is no file, and a pipe no path. */
const isStandardInput = (path: string): boolean =>
  /^(-|\/dev\/stdin|\/dev\/fd\/0|\/proc\/self\/fd\/0)$/.test(path);

/** Where bytes come from. */
export interface Source {
  readonly path: string;
  /** The same for two paths to one file. */
  readonly identity: string;
  /** How many there are; 0 where only the end of a pipe will tell. */
  readonly bytes: number;
  /** Can be read a second time: a pipe can't. */
  readonly again: boolean;
}

/** Something that can be read; throws `UnusableInput` where it can't. */
export async function sourceOf(path: string): Promise<Source> {
  try {
    const big = { bigint: true } as const;
    const input = isStandardInput(path);
    const about = input ? fstatSync(0, big) : statSync(path, big);
    if (about.isDirectory())
      throw new UnusableInput(`${path} is a directory, where a file is needed`);
    const isFile = about.isFile();
    if (isFile && about.size === 0n) throw new UnusableInput(`${path} is empty`);
    return {
      path,
      identity: `${about.dev}:${about.ino}`,
      bytes: isFile ? Number(about.size) : 0,
      again: isFile && !input,
    };
  } catch (error) {
    throw unusable(path, error);
  }
}

async function* bytesOf({ path }: Source): AsyncGenerator<Buffer> {
  const stream = isStandardInput(path)
    ? process.stdin
    : createReadStream(path, { highWaterMark: pieceBytes });
  try {
    for await (const piece of stream) yield piece as Buffer;
  } catch (error) {
    throw unusable(path, error);
  }
}

/** All bytes, where they are no more than such a file has. */
async function wholeOf(
  { path, bytes: said }: Source,
  pieces: AsyncIterable<Buffer>,
): Promise<Buffer> {
  const tooLarge = (bytes: number): void => {
    if (bytes <= largestWhole) return;
    const most = `${largestWhole / 1e6} MB`;
    throw new UnusableInput(`${path} is over ${most}, far more than such a file`);
  };
  tooLarge(said);
  const all: Buffer[] = [];
  let bytes = 0;
  for await (const piece of pieces) {
    bytes += piece.length;
    tooLarge(bytes);
    all.push(piece);
  }
  return Buffer.concat(all);
}

/** Some programs write XML or HTML under a sheet's name: it is told what to do instead. */
function assertNoMarkup(path: string, head: Uint8Array): void {
  if (isMarkup(head))
    throw new UnusableInput(`${path} is XML or HTML and no sheet: save it as .xlsx, .ods or CSV`);
}

/** Loaded only for a spreadsheet: what reads one is large, and most sheets are text. */
const spreadsheetText = async (path: string, bytes: Uint8Array) =>
  (await import("./spreadsheet/spreadsheet-text.ts")).spreadsheetText(path, bytes);

/**
 * A small file as text, whatever its encoding; throws `UnusableInput`.
 *
 * @param say told what is worth a look in how its bytes were read
 */
export async function loadText(path: string, say?: (line: string) => void): Promise<string> {
  const source = await sourceOf(path);
  const bytes = await wholeOf(source, bytesOf(source));
  if (isSpreadsheet(bytes)) return (await spreadsheetText(path, bytes)).text;
  assertNoMarkup(path, bytes);
  const { text, said } = decodeFile(bytes);
  if (said !== null) say?.(`dropwise: ${path}, ${said.place}: ${said.message}\n`);
  return text;
}

/** Pieces with the first so long that it shows what kind of file this is. */
async function* fromMagic(pieces: AsyncIterable<Buffer>): AsyncGenerator<Buffer> {
  let head: Buffer | null = Buffer.alloc(0);
  for await (const piece of pieces) {
    if (head === null) yield piece;
    else {
      head = Buffer.concat([head, piece]);
      if (head.length < magicBytes) continue;
      yield head;
      head = null;
    }
  }
  if (head !== null) yield head;
}

async function* following(first: Buffer, rest: AsyncIterator<Buffer>): AsyncGenerator<Buffer> {
  yield first;
  for (let next = await rest.next(); next.done !== true; next = await rest.next()) yield next.value;
}

/** Pieces of a file as text, decoded by all of its bytes. */
export async function* textPieces(
  source: Source,
  decoded: DecodedText,
  say: (message: string) => void,
): AsyncGenerator<{ text: string; bytes: number }> {
  let begun = false;
  const pieces = fromMagic(bytesOf(source));
  try {
    for (let next = await pieces.next(); next.done !== true; next = await pieces.next()) {
      const bytes = next.value;
      if (!begun && isSpreadsheet(bytes)) {
        const whole = await wholeOf(source, following(bytes, pieces));
        const { text, said } = await spreadsheetText(source.path, whole);
        if (said !== null) say(said);
        for (let at = 0; at < text.length; at += pieceBytes)
          yield { text: text.slice(at, at + pieceBytes), bytes: 0 };
        return;
      }
      if (!begun) assertNoMarkup(source.path, bytes);
      begun = true;
      yield { text: decoded.feed(bytes), bytes: bytes.length };
    }
  } finally {
    // Whoever reads may have seen enough: the file is closed all the same.
    await pieces.return(undefined);
  }
  yield { text: decoded.end(), bytes: 0 };
}

/** Why sheets say nothing: nothing is in them yet, or not a row of them could be used. */
export const nothingIn = (sheets: readonly string[], rejected: readonly unknown[]): string =>
  rejected.length > 0
    ? `${sheets.join(", ")}: no row could be used`
    : `${sheets.join(", ")}: no reading yet: type volts into it, or bring in a sheet of yours (dropwise import FILE)`;
