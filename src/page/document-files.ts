import type { App } from "./app.ts";
import type { DocumentAnswer, DocumentQuestion } from "./chart-worker.ts";
import type { OutFile } from "./save-file.ts";
import { soundPoints } from "./sound-points.ts";
import { workerTask } from "./worker-task.ts";

/** Bytes from letters as the page's build writes them: 85 digits first, then five to four bytes. */
function unpacked(text: string): Uint8Array<ArrayBuffer> {
  const digits = new Map(Array.from(text.slice(0, 85), (letter, value) => [letter, value]));
  const groups = Math.ceil((text.length - 85) / 5);
  const view = new DataView(new ArrayBuffer(4 * groups));
  for (let group = 0; group < groups; group += 1) {
    const start = 85 + 5 * group;
    let value = 0;
    // A last group that is short is filled up with the highest digit; its spare bytes are cut off.
    for (let at = start; at < start + 5; at += 1)
      value = value * 85 + (digits.get(text.charAt(at)) ?? 84);
    view.setUint32(4 * group, value);
  }
  const spare = 5 * groups - (text.length - 85);
  return new Uint8Array(view.buffer, 0, 4 * groups - spare);
}

/** The chart worker's script, which the page carries packed. */
async function chartScript(): Promise<Blob> {
  const bytes = unpacked(document.getElementById("chart-script")?.textContent ?? "");
  const script = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Blob([await new Response(script).arrayBuffer()], { type: "text/javascript" });
}

/** Has the chart worker write a document. */
const write = async (question: DocumentQuestion): Promise<readonly OutFile[]> =>
  workerTask<DocumentAnswer, readonly OutFile[]>(
    await chartScript(),
    question,
    (message, done, fail) => {
      if ("files" in message) done(message.files);
      else fail(new Error(message.failed));
    },
  );

/** The report of the walk that is shown, as one HTML file. */
export async function makeReport(app: App): Promise<readonly OutFile[]> {
  const findings = await app.currentFindings();
  const { pool, contents } = app;
  if (pool === null || contents === null) throw new Error("there is no pool in hand");
  const { diagnosis } = findings;
  const readings = app.readingsOf(findings.walk);
  return write({
    name: `report-${findings.walk.replaceAll(/[^\w.-]+/g, "-")}`,
    report: {
      pool,
      walk: diagnosis,
      readings,
      rejects: contents.rejected,
      sound: soundPoints(pool, diagnosis, readings),
      decisions: findings.decided?.decisions ?? [],
      readAgain: findings.decided?.readAgain ?? [],
      season: null,
    },
  });
}

/** The capital request of all walks: as HTML, as Markdown, and the pictures of the Markdown. */
export const makeMemo = async (
  app: App,
  onProgress: (words: string) => void,
): Promise<readonly OutFile[]> => write({ name: "memo", memo: await app.memoInput(onProgress) });
