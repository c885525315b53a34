import { NO_CURRENCY } from "../domain/currency.ts";
import { readFacility } from "../intake/read-facility.ts";
import { chartsOf, type Document, type Pictures, paragraphTexts } from "../report/document.ts";
import { memoDocument } from "../report/memo.ts";
import { memoInputOf } from "../report/memo-input.ts";
import { memoJson } from "../report/memo-json.ts";
import { writeHtml } from "../report/write-html.ts";
import { writeMarkdown } from "../report/write-markdown.ts";
import type { Costs, Facility } from "../rooms/domain-room.ts";
import { weighSeason } from "../rooms/economics-room.ts";
import { unknownFacility } from "../rooms/intake-room.ts";
import { costsOf } from "../rooms/policy-room.ts";
import type { Keeper, Question, SeasonProgress } from "../rooms/season-room.ts";
import { type Io, UnusableInput } from "./command.ts";
import { dottedFigures, drawFigures } from "./draw-figures.ts";
import { faultSentence } from "./files.ts";
import { localDay } from "./local-time.ts";
import type { SeasonFiles } from "./season-files.ts";
import { loadText } from "./sources.ts";
import type { OutputFile } from "./store/file-set.ts";

/** A word about the file's bytes, with its line, goes to `say`. */
async function facilityOf(path: string | null, say: (line: string) => void): Promise<Facility> {
  if (path === null) return unknownFacility;
  const read = readFacility(await loadText(path, say), path);
  if (!read.ok) throw new UnusableInput(faultSentence(read.error));
  return read.value;
}

/** The pool's prices, in the currency that the facility names where the pool file names none. */
function costsIn({ pool }: SeasonFiles, facility: Facility): Costs {
  const costs = costsOf(pool);
  if (facility.currency === null || facility.currency === costs.currency) return costs;
  if (costs.currency !== NO_CURRENCY)
    throw new UnusableInput(
      `the facility file asks for ${facility.currency}, but the pool file's prices are in ${costs.currency}; nothing is converted`,
    );
  return { ...costs, currency: facility.currency };
}

/** The options and the request as data: no words, nothing drawn. */
export async function memoAsJson(
  files: SeasonFiles,
  facilityPath: string | null,
  say: (line: string) => void,
): Promise<string> {
  const costs = costsIn(files, await facilityOf(facilityPath, say));
  const { pool, season } = files;
  const walk = season.latest.diagnosis;
  const options = weighSeason(season, costs);
  return memoJson(pool.name, walk.walk, options, files.rejects);
}

/** A document for Word, unless it was written before on the same day: its properties say when. */
async function wordFile(
  document: Document,
  pictures: Pictures,
  paper: Facility["paper"],
  keeper: Keeper,
): Promise<Uint8Array> {
  const from = [document, paper, localDay(new Date())];
  const question: Question = { what: "word-file", walk: null, from };
  const known = keeper.known<Uint8Array>(question);
  if (known !== undefined) return known;
  // Loaded here and not above: the document writer is heavy.
  const { writeDocx } = await import("../report/write-docx.ts");
  const written = await writeDocx(document, await dottedFigures(pictures, keeper), paper);
  keeper.keep(question, written);
  return written;
}

/** The capital request as files, and its first sentence. */
export async function makeMemo(
  files: SeasonFiles,
  facilityPath: string | null,
  progress: SeasonProgress,
  io: Pick<Io, "note" | "keeper">,
): Promise<{
  readonly files: readonly OutputFile[];
  readonly request: string;
}> {
  const facility = await facilityOf(facilityPath, io.note);
  const costs = costsIn(files, facility);
  const { readings, season } = files;
  const document = memoDocument(memoInputOf(season, { readings, costs, facility }, progress));
  const pictures = await drawFigures(chartsOf(document), io.keeper);
  return {
    request: paragraphTexts(document)[0] ?? document.title,
    files: [
      { name: "memo.docx", content: await wordFile(document, pictures, facility.paper, io.keeper) },
      { name: "memo.html", content: await writeHtml(document, pictures, null) },
      { name: "memo.md", content: writeMarkdown(document) },
      ...[...pictures].map(([name, { svg }]) => ({ name: `${name}.svg`, content: svg })),
    ],
  };
}
