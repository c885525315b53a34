import { describe, expect, test } from "vitest";
import { DecodedText, decodeFile, encodingOf } from "../../src/intake/decode-text.ts";

const bytes = (...of: readonly number[]): Uint8Array => Uint8Array.from(of);
const ascii = (text: string): readonly number[] => [...text].map((one) => one.charCodeAt(0));
const utf16 = (text: string, big: boolean): Uint8Array =>
  bytes(...ascii(text).flatMap((unit) => (big ? [0, unit] : [unit, 0])));

// RFC 3629, section 4: the first and the last character of each length, and what lies beside them.
describe("characters of UTF-8", () => {
  test.each([
    ["U+007F", [0x7f]],
    ["U+0080", [0xc2, 0x80]],
    ["U+07FF", [0xdf, 0xbf]],
    ["U+0800", [0xe0, 0xa0, 0x80]],
    ["U+FFFF", [0xef, 0xbf, 0xbf]],
    ["U+10000", [0xf0, 0x90, 0x80, 0x80]],
    ["U+10FFFF", [0xf4, 0x8f, 0xbf, 0xbf]],
  ])("%s, whole and cut anywhere", (name, of) => {
    const whole = bytes(0x61, ...of, 0x62);
    const expected = `a${String.fromCodePoint(Number.parseInt(name.slice(2), 16))}b`;
    for (let cut = 0; cut <= whole.length; cut++) {
      const decoded = new DecodedText();
      const text = decoded.feed(whole.subarray(0, cut)) + decoded.feed(whole.subarray(cut));
      expect(text + decoded.end()).toBe(expected);
      expect(decoded.encoding).toBe("utf-8");
      expect(decoded.said).toBeNull();
    }
  });

  // The other side of it by the WHATWG Encoding Standard's index of windows-1252.
  test.each([
    ["a byte that goes on with nothing before it", [0x80], "€"],
    ["an overlong slash", [0xc0, 0xaf], "À¯"],
    ["0xC1", [0xc1, 0x80], "Á€"],
    ["a surrogate", [0xed, 0xa0, 0x80], "í\u00a0€"],
    ["beyond U+10FFFF", [0xf4, 0x90, 0x80, 0x80], "ô\u0090€€"],
    ["0xF5", [0xf5, 0x80, 0x80, 0x80], "õ€€€"],
    ["0xFF in the middle", [0x61, 0xff, 0x62, 0x63], "aÿbc"],
    ["an overlong of three", [0xe0, 0x9f, 0x80], "àŸ€"],
  ])("%s is none: the file is windows-1252 from there", (_, of, read) => {
    const file = bytes(...ascii("good\n"), ...of, ...ascii("\nend"));
    const { text, encoding, said } = decodeFile(file);
    expect(encoding).toBe("windows-1252");
    expect(text).toBe(`good\n${read}\nend`);
    expect(said).toEqual({
      place: "line 2",
      message: "is not UTF-8 from here on and is read as windows-1252: look at the accents",
    });
  });

  test("a character that the file's end cuts short is none", () => {
    const { text, encoding, said } = decodeFile(bytes(...ascii("caf"), 0xc3));
    expect([text, encoding, said?.place]).toEqual(["cafÃ", "windows-1252", "line 1"]);
    expect(decodeFile(bytes(0xe2, 0x82)).text).toBe("â‚");
  });

  test("a half character whose other half never comes is none", () => {
    const decoded = new DecodedText();
    const text =
      decoded.feed(bytes(...ascii("x\r\ny\rz\n"), 0xe2, 0x82)) + decoded.feed(bytes(0x61));
    expect(text + decoded.end()).toBe("x\r\ny\rz\nâ‚a");
    expect(decoded.said?.place).toBe("line 4");
  });

  test("lines are counted over all pieces", () => {
    const decoded = new DecodedText();
    for (const piece of ["1\n2\n", "3\r\n", "4\r"]) decoded.feed(bytes(...ascii(piece)));
    decoded.feed(bytes(0xe9));
    decoded.end();
    expect(decoded.said?.place).toBe("line 5");
  });
});

describe("byte-order marks", () => {
  test("only the first is taken off", () => {
    const mark = [0xef, 0xbb, 0xbf];
    expect(decodeFile(bytes(...mark, 0x61, ...mark)).text).toBe("a\ufeff");
    const decoded = new DecodedText();
    const text =
      decoded.feed(bytes()) + decoded.feed(bytes(0xef)) + decoded.feed(bytes(0xbb, 0xbf, 0x61));
    expect(text + decoded.end()).toBe("a");
  });

  test.each([
    [[0xff, 0xfe, 0x61, 0x00], "utf-16le"],
    [[0xfe, 0xff, 0x00, 0x61], "utf-16be"],
    [[0xff, 0x61], "windows-1252"],
    [[0xfe, 0xfe, 0x61], "windows-1252"],
    [[0x61, 0xfe], "windows-1252"],
  ])("%j is %s", (of, encoding) => {
    expect(encodingOf(bytes(...of))).toBe(encoding);
    if (encoding.startsWith("utf-16")) expect(decodeFile(bytes(...of)).text).toBe("a");
  });
});

describe("UTF-16 without a mark", () => {
  test.each([
    ["lane,point", false, "utf-16le"],
    ["lane,point", true, "utf-16be"],
    ["ab", false, "utf-16le"],
    ["a", false, "utf-8"],
  ])("%j, big-endian %j: %s", (text, big, encoding) => {
    expect(encodingOf(utf16(text, big))).toBe(encoding);
  });

  test("seven zeros in ten are not enough, eight are", () => {
    const odd = (zeros: number): Uint8Array =>
      bytes(...Array.from({ length: 10 }, (_, k) => [0x61, k < zeros ? 0 : 1]).flat());
    expect(encodingOf(odd(7))).toBe("utf-8");
    expect(encodingOf(odd(8))).toBe("utf-16le");
  });

  test("a zero where a letter must be speaks against it", () => {
    expect(encodingOf(bytes(...ascii("abc").flatMap((one) => [one, 0]), 0, 0))).toBe("utf-8");
  });

  test("a piece may end inside a unit", () => {
    const decoded = new DecodedText();
    const whole = utf16("lane,point", false);
    expect(
      decoded.feed(whole.subarray(0, 9)) + decoded.feed(whole.subarray(9)) + decoded.end(),
    ).toBe("lane,point");
  });
});
