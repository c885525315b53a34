import { expect, test } from "vitest";
import { csvLine, framedLine } from "../../src/intake/csv-cell.ts";

// RFC 4180, section 2: a cell with a comma, a quotation mark or a line break stands in quotation marks,
// quotation marks inside it doubled; lines end with CR LF.
test.each([
  ["plain", "plain"],
  ["a,b", '"a,b"'],
  ['say "so"', '"say ""so"""'],
  ["two\nlines", '"two\nlines"'],
  ["two\rlines", '"two\rlines"'],
  ["a;b", '"a;b"'],
  ["a\tb", '"a\tb"'],
  [" led", '" led"'],
  ["trailed ", '"trailed "'],
  ["in between", "in between"],
  ["", ""],
])("%j is written %j", (text, written) => {
  expect(csvLine([text, "x"])).toBe(`${written},x\r\n`);
});

// What a spreadsheet takes for a formula: OWASP's list of CSV injection.
test.each(["=1+1", "+A1", "-A1", "@SUM(A1)", "'=1", "''-x"])("%j is no formula", (text) => {
  expect(csvLine([text])).toBe(`'${text}\r\n`);
});

test.each(["-4.8", "+4.8", "-12", "'quoted'", "a=b", "4-8"])("%j stays as it is", (text) => {
  expect(csvLine([text], ";")).toBe(`${text}\r\n`);
});

test.each(["-4.", "--4", "-4.8V", "+1 2"])("%j is no plain number and may be a formula", (text) => {
  expect(csvLine([text])).toBe(`'${text}\r\n`);
});

test("a framed line's last cell stands in quotation marks if it says anything", () => {
  expect(framedLine(["a", "b c"])).toBe('a,"b c"\r\n');
  expect(framedLine(["a,", "b"], ";")).toBe('"a,";"b"\r\n');
  expect(framedLine(["a", 'b "c"'])).toBe('a,"b ""c"""\r\n');
  expect(framedLine(["a", ""])).toBe("a,\r\n");
  expect(framedLine([])).toBe("\r\n");
});
