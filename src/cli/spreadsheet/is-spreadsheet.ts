const startsWith = (bytes: Uint8Array, ...magic: readonly number[]): boolean =>
  magic.every((byte, i) => bytes[i] === byte);

/** The compound files of spreadsheet programs before 2007, by their first bytes. */
export const isOldSpreadsheet = (head: Uint8Array): boolean =>
  startsWith(head, 0xd0, 0xcf, 0x11, 0xe0);

/** XML or HTML, as some programs write under a spreadsheet's name: no sheet of rows. */
export const isMarkup = (head: Uint8Array): boolean =>
  /^(\ufeff|\u00ef\u00bb\u00bf)?\s*<(\?xml|!doc|html|table)/i.test(
    String.fromCharCode(...head.subarray(0, 16)),
  );

/** Is this a file of a spreadsheet program, and not text? .xlsx and .ods are zip archives. */
export const isSpreadsheet = (head: Uint8Array): boolean =>
  startsWith(head, 0x50, 0x4b, 0x03, 0x04) || isOldSpreadsheet(head);
