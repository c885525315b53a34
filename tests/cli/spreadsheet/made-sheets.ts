import { strToU8, zipSync } from "fflate";

// Files made by hand after ECMA-376 (parts 1 and 2) and OpenDocument 1.3, with what spreadsheet
// programs write: shared strings, dates as day numbers with a format, merged cells, repeated blanks.
const main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
const office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
const relations = "http://schemas.openxmlformats.org/package/2006/relationships";

/** Two readings of lane 3, as a workbook. */
export function xlsx(): Uint8Array {
  const strings = ["Kestrel Bay", "Lane", "Point", "Volts", "Taken at", "timer", "pod"];
  const shared = (name: string, at: string) =>
    `<c r="${at}" t="s"><v>${strings.indexOf(name)}</v></c>`;
  const number = (value: string, at: string, style = 0) =>
    `<c r="${at}" s="${style}"><v>${value}</v></c>`;
  // 2026-05-02 is day 46144 of the 1900 system: 20575 days after 1970-01-01, which is day 25569.
  const rows =
    `<row r="1">${shared("Kestrel Bay", "A1")}</row>` +
    `<row r="3">${["Lane", "Point", "Volts", "Taken at"].map((name, i) => shared(name, `${"ABCD"[i]}3`)).join("")}</row>` +
    `<row r="4">${number("3", "A4")}${shared("timer", "B4")}${number("4.9100000000000001", "C4")}${number("46144.334027777775", "D4", 1)}</row>` +
    `<row r="5">${shared("pod", "B5")}${number("4.5", "C5")}${number("46144", "D5", 1)}</row>`;
  const head = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>';
  const type = "application/vnd.openxmlformats-officedocument.spreadsheetml";
  return zipSync({
    "[Content_Types].xml": strToU8(
      `${head}<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="${type}.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="${type}.worksheet+xml"/><Override PartName="/xl/styles.xml" ContentType="${type}.styles+xml"/><Override PartName="/xl/sharedStrings.xml" ContentType="${type}.sharedStrings+xml"/></Types>`,
    ),
    "_rels/.rels": strToU8(
      `${head}<Relationships xmlns="${relations}"><Relationship Id="rId1" Type="${office}/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
    ),
    "xl/workbook.xml": strToU8(
      `${head}<workbook xmlns="${main}" xmlns:r="${office}"><sheets><sheet name="May" sheetId="1" r:id="rId1"/></sheets></workbook>`,
    ),
    "xl/_rels/workbook.xml.rels": strToU8(
      `${head}<Relationships xmlns="${relations}"><Relationship Id="rId1" Type="${office}/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="${office}/styles" Target="styles.xml"/><Relationship Id="rId3" Type="${office}/sharedStrings" Target="sharedStrings.xml"/></Relationships>`,
    ),
    "xl/styles.xml": strToU8(
      `${head}<styleSheet xmlns="${main}"><cellXfs count="2"><xf numFmtId="0"/><xf numFmtId="22" applyNumberFormat="1"/></cellXfs></styleSheet>`,
    ),
    "xl/sharedStrings.xml": strToU8(
      `${head}<sst xmlns="${main}">${strings.map((name) => `<si><t>${name}</t></si>`).join("")}</sst>`,
    ),
    "xl/worksheets/sheet1.xml": strToU8(
      `${head}<worksheet xmlns="${main}"><sheetData>${rows}</sheetData><mergeCells count="1"><mergeCell ref="A4:A5"/></mergeCells></worksheet>`,
    ),
  });
}

/** The same as an OpenDocument sheet. */
export function ods(): Uint8Array {
  const cell = (text: string) =>
    `<table:table-cell office:value-type="string"><text:p>${text}</text:p></table:table-cell>`;
  const number = (value: string, shown: string) =>
    `<table:table-cell office:value-type="float" office:value="${value}"><text:p>${shown}</text:p></table:table-cell>`;
  const date = (value: string) =>
    `<table:table-cell office:value-type="date" office:date-value="${value}"><text:p>02.05.26</text:p></table:table-cell>`;
  const row = (cells: string, more = "") => `<table:table-row${more}>${cells}</table:table-row>`;
  const rows =
    row(cell("Kestrel Bay")) +
    row("<table:table-cell/>", ' table:number-rows-repeated="1"') +
    row(["Lane", "Point", "Volts", "Taken at"].map(cell).join("")) +
    row(number("3", "3") + cell("timer") + number("4.91", "4,91 V") + date("2026-05-02T08:01:00")) +
    row(
      `<table:covered-table-cell/>${cell("pod")}${number("4.5", "4,50")}${date("2026-05-02")}<table:table-cell table:number-columns-repeated="16380"/>`,
    ) +
    row(
      '<table:table-cell table:number-columns-repeated="16384"/>',
      ' table:number-rows-repeated="1048570"',
    );
  const space = (name: string) =>
    `xmlns:${name}="urn:oasis:names:tc:opendocument:xmlns:${name}:1.0"`;
  const content = `<?xml version="1.0" encoding="UTF-8"?><office:document-content ${["office", "table", "text"].map(space).join(" ")}><office:body><office:spreadsheet><table:table table:name="May">${rows}</table:table></office:spreadsheet></office:body></office:document-content>`;
  return zipSync({
    mimetype: strToU8("application/vnd.oasis.opendocument.spreadsheet"),
    "content.xml": strToU8(content),
  });
}
