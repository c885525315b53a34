import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { beforeAll, describe, expect, test, vi } from "vitest";
import { dottedFigures, drawFigures } from "../../src/cli/draw-figures.ts";
import { defaultCosts } from "../../src/domain/costs.ts";
import type { Facility } from "../../src/domain/facility.ts";
import { unknownFacility } from "../../src/domain/facility.ts";
import { cautions } from "../../src/report/cautions.ts";
import {
  chartsOf,
  type Document,
  type DottedFigure,
  type Pictures,
} from "../../src/report/document.ts";
import { memoDocument } from "../../src/report/memo.ts";
import type { MemoInput } from "../../src/report/memo-input.ts";
import { writeDocx } from "../../src/report/write-docx.ts";
import { writeHtml } from "../../src/report/write-html.ts";
import { writeMarkdown } from "../../src/report/write-markdown.ts";
import { documentTexts } from "./document-texts.ts";
import { pool, readings, walk } from "./fixture.ts";
import { memo as options, plateDecision } from "./memo-fixture.ts";
import { unzip, xmlText } from "./zip.ts";

// Whole documents are drawn here: slow on a busy machine.
vi.setConfig({ testTimeout: 300_000 });

const facility: Facility = {
  ...unknownFacility,
  name: "Kestrel Bay Leisure Centre",
  letterhead: ["Kestrel Bay Leisure Centre", "Pool <maintenance> & timing"],
  to: "The Board",
  risks: ["Parts may take eight weeks to arrive"],
};

const input: MemoInput = {
  pool,
  walk,
  readings,
  cleanings: [],
  decisions: [plateDecision],
  options,
  costs: defaultCosts(pool.links),
  facility,
};

const texts = (document: Document): string[] => documentTexts(document);
const firstParagraph = (document: Document): string => {
  const block = document.blocks.find((one) => one.kind === "paragraph");
  return block === undefined
    ? ""
    : documentTexts({ ...document, letterhead: [], blocks: [block] })[1]!;
};

describe("the memo as a document", () => {
  const document = memoDocument(input);

  test("request and amount stand in the first paragraph", () => {
    expect(firstParagraph(document)).toMatch(/^We ask for EUR 420 to replace 2 connectors/);
    expect(firstParagraph(document)).toContain("lane 3 plate connector");
    expect(firstParagraph(document)).toContain("net savings of EUR 3,333");
  });

  test("where nothing beats the plan no money is asked for, and the plan is handed over", () => {
    const cheap = memoDocument({ ...input, options: { ...options, requested: null } });
    expect(cheap.title).toContain("no capital needed");
    expect(firstParagraph(cheap)).toMatch(/^No money is asked for/);
    expect(firstParagraph(cheap)).not.toContain("We ask");
    const drawn = texts(cheap).join("\n");
    expect(drawn).toContain("Lane 3 plate connector: clean it and read (93 % sure).");
    expect(drawn).toContain(
      "The rule: clean it where its pod reads under 4.83 V; replace it if it then still reads under 4.60 V.",
    );
    expect(drawn).toContain("a walk of readings every week");
  });

  test("the ratio says what it divides by", () => {
    expect(texts(document).join("\n")).toContain(
      "divided by the present value of replacements bought and renewed beyond the plan's",
    );
  });

  test("its sections come in the order of the request", () => {
    const headings = document.blocks.flatMap((one) =>
      one.kind === "heading" && one.level === 2 ? [one.text] : [],
    );
    expect(headings).toEqual([
      "The need",
      "The plan",
      "Options compared",
      "Risks and sensitivity",
      "Schedule",
      "Appendix: method and data",
    ]);
  });

  test("every measure of every option is in the table", () => {
    const drawn = texts(document);
    for (const option of options.options) {
      expect(drawn.some((one) => one.startsWith(option.label))).toBe(true);
      if (option.comparison === null) continue;
      expect(drawn).toContain(option.comparison.savingsToInvestment!.toFixed(2));
      expect(drawn).toContain(`${(100 * option.comparison.adjustedReturn!).toFixed(1)} %`);
      expect(drawn).toContain(String(option.comparison.discountedPaybackYear));
    }
  });

  test("what nobody said is a visible blank, what was said is not", () => {
    const drawn = texts(document);
    expect(drawn).toEqual(
      expect.arrayContaining(["The Board", "[from: ________]", "[date: ________]"]),
    );
    expect(drawn.join("\n")).toContain("[fund: ________]");
    expect(drawn.join("\n")).not.toContain("[to:");
    expect(texts(memoDocument({ ...input, facility: unknownFacility }))).toContain(
      "[to: ________]",
    );
  });

  test("risks of the facility stand beside those of the numbers", () => {
    expect(texts(document)).toContain("Parts may take eight weeks to arrive");
    expect(texts(document).join("\n")).toContain(
      "Price of a lost lane (taken as 200 EUR): at 50 EUR “Follow the plan” costs least.",
    );
  });

  test("the cautions of replacing stand beside the schedule", () => {
    const words = cautions.filter((one) => one.steps.includes("replace")).map((one) => one.words);
    expect(texts(document)).toEqual(expect.arrayContaining(words));
  });
});

/** LibreOffice's command, where it is installed. */
const office = ["/usr/bin/soffice", "/usr/bin/libreoffice"].find((path) => existsSync(path));

/** Poppler's reader of PDF texts. */
const pageReader = "/usr/bin/pdftotext";

/** Converts a Word file with LibreOffice and returns the result's bytes. */
function convert(docx: Uint8Array, ending: "odt" | "pdf"): Buffer {
  const folder = mkdtempSync(join(tmpdir(), "dropwise-memo-"));
  writeFileSync(join(folder, "memo.docx"), docx);
  const profile = `-env:UserInstallation=file://${folder}/profile`;
  const args = [
    profile,
    "--headless",
    "--convert-to",
    ending,
    "--outdir",
    folder,
    join(folder, "memo.docx"),
  ];
  execFileSync(office!, args, { stdio: "ignore", timeout: 100_000 });
  return readFileSync(join(folder, `memo.${ending}`));
}

describe("the memo as a Word file", () => {
  const document = memoDocument(input);
  let pictures: Pictures<DottedFigure>;
  let docx: Uint8Array;
  beforeAll(async () => {
    pictures = await dottedFigures(await drawFigures(chartsOf(document)));
    docx = await writeDocx(document, pictures, "A4");
  });

  test("its own parts hold every text, every picture twice, and their alternative texts", () => {
    const files = unzip(docx);
    const xml = files.get("word/document.xml")!.toString("utf8");
    const text = xmlText(xml.replaceAll("</w:p>", " "));
    for (const one of texts(document)) expect(text).toContain(one);
    const media = [...files.keys()].filter((one) => one.startsWith("word/media/"));
    expect(media.filter((one) => one.endsWith(".svg"))).toHaveLength(pictures.size);
    expect(media.filter((one) => one.endsWith(".png"))).toHaveLength(pictures.size);
    for (const chart of chartsOf(document))
      expect(xmlAttributes(xml, "descr")).toContain(chart.alt);
  });

  test(`nothing is lost on the way ${office === undefined ? "into the file's own parts (no LibreOffice here)" : "through LibreOffice"}`, () => {
    const files = unzip(office === undefined ? docx : convert(docx, "odt"));
    const part = office === undefined ? "word/document.xml" : "content.xml";
    const text = xmlText(
      files
        .get(part)!
        .toString("utf8")
        .replaceAll(/<\/(w|text):[ph]>/g, " "),
    );
    for (const one of texts(document)) expect(text).toContain(one);
    const folder = office === undefined ? "word/media/" : "Pictures/";
    const drawn = [...files].filter(
      ([name, data]) => name.startsWith(folder) && data.length > 2000,
    );
    expect(drawn.length).toBeGreaterThanOrEqual(pictures.size);
    // The pictures are those that went in: each PNG is found again byte for byte.
    const found = new Set(drawn.map(([, data]) => data.toString("base64")));
    for (const picture of pictures.values())
      expect(
        found.has(Buffer.from(picture.png).toString("base64")) ||
          found.has(Buffer.from(picture.svg).toString("base64")),
      ).toBe(true);
  });

  test.each(["A4", "Letter"] as const)("the appendix starts on page three of %s", async (paper) => {
    const file = await writeDocx(document, pictures, paper);
    if (office === undefined || !existsSync(pageReader)) {
      // Without the programs that set pages and read them: the break stands right before the appendix's heading.
      const xml = unzip(file).get("word/document.xml")!.toString("utf8");
      const before = xml.slice(0, xml.indexOf("Appendix: method and data"));
      expect(before.match(/<w:pageBreakBefore/g)).toHaveLength(1);
      return;
    }
    const pdf = convert(file, "pdf");
    expect(pageOfAppendix(pdf)).toBe(3);
  });
});

const xmlAttributes = (xml: string, name: string): string[] =>
  [...xml.matchAll(new RegExp(`${name}="([^"]*)"`, "g"))].map((match) => xmlText(match[1] ?? ""));

/** Page of a PDF on which its outline or text puts the appendix, told by poppler's pdftotext. */
function pageOfAppendix(pdf: Buffer): number {
  const folder = mkdtempSync(join(tmpdir(), "dropwise-pages-"));
  const file = join(folder, "memo.pdf");
  writeFileSync(file, pdf);
  const text = execFileSync(pageReader, ["-layout", file, "-"], { encoding: "utf8" });
  return text.split("\f").findIndex((page) => page.includes("Appendix: method and data")) + 1;
}

describe("the memo as HTML and Markdown", () => {
  const document = memoDocument(input);

  test("the page holds every text and every picture, and no script", async () => {
    const pictures = await drawFigures(chartsOf(document));
    const html = await writeHtml(document, pictures, null);
    const text = xmlText(html.slice(html.indexOf("<body>"))).replaceAll("&#39;", "'");
    const spoken = (one: string): string => one.replace(/\[([^\]]*): _+\]/g, "$1");
    for (const one of texts(document)) expect(text).toContain(spoken(one));
    expect(html.match(/<img /g)).toHaveLength(pictures.size);
    expect(html).not.toContain("<script");
    expect(html.match(/class="blank"/g)!.length).toBeGreaterThan(3);
  });

  test("Markdown holds every text, escaped, and points at every picture", () => {
    const markdown = writeMarkdown(document, "charts/");
    const unescaped = markdown
      .replace(/\\([\\`*_{}[\]<>#|~&+\-=.)])/g, "$1")
      .replaceAll("**", "")
      .replace(/\s+/g, " ");
    for (const one of texts(document)) expect(unescaped).toContain(one);
    for (const chart of chartsOf(document))
      expect(markdown).toContain(`](charts/${chart.name}.svg)`);
    expect(markdown).toContain("Pool \\<maintenance\\> \\& timing");
  });

  test("a hostile cell neither splits its row nor becomes markup", () => {
    const hostile = memoDocument({
      ...input,
      facility: {
        ...facility,
        to: "a | b\n# c <b>x</b> [l](javascript:1)",
        schedule: [{ what: "- x | y", when: null }],
      },
    });
    const markdown = writeMarkdown(hostile);
    expect(markdown).toContain("a \\| b \\# c \\<b\\>x\\</b\\> \\[l\\](javascript:1)");
    expect(markdown).toContain("| - x \\| y | \\[date: \\_\\_\\_\\_\\_\\_\\_\\_\\] |");
  });
});
