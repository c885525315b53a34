import { expect, test } from "vitest";
import { DecodedText, decodeText } from "../../src/intake/decode-text.ts";

const text = "lane,point,volts,note\n1,pod,4.91,café € Ω\n";
const utf16 = (big: boolean, mark: boolean): Uint8Array => {
  const units = [...(mark ? "\uFEFF" : ""), ...text].map((letter) => letter.charCodeAt(0));
  const bytes = units.flatMap((unit) => (big ? [unit >> 8, unit & 255] : [unit & 255, unit >> 8]));
  return Uint8Array.from(bytes);
};

test.each([
  ["UTF-8", new TextEncoder().encode(text)],
  ["UTF-8 with a mark", new TextEncoder().encode(`\uFEFF${text}`)],
  ["UTF-16 little-endian with a mark", utf16(false, true)],
  ["UTF-16 big-endian with a mark", utf16(true, true)],
  ["UTF-16 little-endian", utf16(false, false)],
  ["UTF-16 big-endian", utf16(true, false)],
])("%s is read", (_, bytes) => {
  expect(decodeText(bytes)).toBe(text);
});

test("bytes that are no UTF-8 are windows-1252, where 0xE9 is é and 0xB0 is the degree sign", () => {
  // WHATWG Encoding Standard, index windows-1252 (the same in ISO 8859-1). Mark: memory.
  expect(decodeText(Uint8Array.from([0xe9, 0x20, 0xb0]))).toBe("é °");
});

test("a character cut in two at the end of the first piece is still UTF-8", () => {
  const bytes = new TextEncoder().encode("note,café €\n");
  for (let cut = 0; cut <= bytes.length; cut++) {
    const decoded = new DecodedText();
    const read = decoded.feed(bytes.subarray(0, cut)) + decoded.feed(bytes.subarray(cut));
    expect([read + decoded.end(), decoded.encoding]).toEqual(["note,café €\n", "utf-8"]);
    expect(decoded.said).toBe(null);
  }
});

test("the first byte that can't be UTF-8 switches, however late it comes, and a word is said", () => {
  const early = `${"café 4.9\n".repeat(20_000)}`;
  const bytes = [new TextEncoder().encode(early), Uint8Array.from([0x62, 0xe9, 0x0a, 0xb0])];
  const decoded = new DecodedText();
  const read = bytes.map((piece) => decoded.feed(piece)).join("") + decoded.end();
  expect(read).toBe(`${early}bé\n°`);
  expect(decoded.encoding).toBe("windows-1252");
  expect(decoded.said).toMatchObject({ place: "line 20001" });
});
