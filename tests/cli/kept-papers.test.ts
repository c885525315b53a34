import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { dottedFigures, drawFigures } from "../../src/cli/draw-figures.ts";
import { keptAnswers } from "../../src/cli/store/kept-answers.ts";
import { faultOf } from "../../src/cli/store/output-fault.ts";
import type { Chart } from "../../src/report/charts/theme.ts";
import type { Keeper, Question } from "../../src/rooms/season-room.ts";

/** A keeper in a folder of its own, and what it was asked and told. */
function watched(): { keeper: Keeper; found: string[]; kept: string[] } {
  const own = keptAnswers(mkdtempSync(join(tmpdir(), "kept-papers-")), "build");
  const [found, kept]: [string[], string[]] = [[], []];
  const keeper: Keeper = {
    known: <T>(question: Question) => {
      const answer = own.known<T>(question);
      if (answer !== undefined) found.push(question.what);
      return answer;
    },
    keep: (question, answer) => {
      kept.push(question.what);
      own.keep(question, answer);
    },
  };
  return { keeper, found, kept };
}

const chartOf = (title: string): Chart => ({
  name: "bars",
  finding: "",
  alt: "",
  spec: {
    $schema: "https://vega.github.io/schema/vega-lite/v6.json",
    title,
    data: { values: [{ lane: "1", volts: 4.9 }] },
    mark: "bar",
    encoding: { x: { field: "lane" }, y: { field: "volts", type: "quantitative" } },
  },
});

test("a chart is drawn once, and comes out of the keeper as it was drawn", async () => {
  const { keeper, found, kept } = watched();
  const anew = await drawFigures([chartOf("Volts")]);
  expect(await drawFigures([chartOf("Volts")], keeper)).toEqual(anew);
  expect(found).toEqual([]);
  expect(await drawFigures([chartOf("Volts")], keeper)).toEqual(anew);
  expect(found).toEqual(["picture"]);
  expect(JSON.parse(anew.get("bars")!.live!)).toHaveProperty("marks");
  await drawFigures([chartOf("Ohms")], keeper);
  expect(kept).toEqual(["picture", "picture"]);
});

test("a chart is drawn in dots once, and comes out of the keeper as it was drawn", async () => {
  const { keeper, found, kept } = watched();
  const drawn = await drawFigures([chartOf("Volts")]);
  const dotted = await dottedFigures(drawn);
  expect(await dottedFigures(drawn, keeper)).toEqual(dotted);
  expect(found).toEqual([]);
  expect(await dottedFigures(drawn, keeper)).toEqual(dotted);
  expect(found).toEqual(["picture"]);
  expect(kept).toEqual(["picture"]);
  // Size of a PNG by its header (RFC 2083, section 4.1.1): two dots to a unit of the drawing.
  const { png, width, height } = dotted.get("bars")!;
  const header = Buffer.from(png);
  expect([header.readUInt32BE(16), header.readUInt32BE(20)]).toEqual([2 * width, 2 * height]);
});

test("a chart whose letters are the system's own is drawn in dots anew each time", async () => {
  const { keeper, kept } = watched();
  await dottedFigures(await drawFigures([chartOf("電圧")]), keeper);
  expect(kept).toEqual([]);
});

test("bytes that were found well-formed are known to be, and faulty ones never", () => {
  const { keeper, found } = watched();
  const path = join(mkdtempSync(join(tmpdir(), "papers-")), "some.svg");
  const fault = (text: string): string | null => {
    writeFileSync(path, text);
    return faultOf(path, "some.svg", keeper);
  };
  expect([fault("<svg/>"), fault("<svg/>")]).toEqual([null, null]);
  expect(found).toEqual(["well-formed"]);
  expect(fault("<svg>")).toMatch(/no valid .svg/);
  expect(fault("<svg>")).toMatch(/no valid .svg/);
  expect(found).toEqual(["well-formed"]);
});
