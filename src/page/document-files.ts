import type { App } from "./app.ts";
import type { DocumentAnswer, DocumentQuestion } from "./chart-worker.ts";
import { packedScript } from "./packed-script.ts";
import type { OutFile } from "./save-file.ts";
import { soundPoints } from "./sound-points.ts";
import { workerTask } from "./worker-task.ts";

/** Has the chart worker write a document. */
const write = async (question: DocumentQuestion): Promise<readonly OutFile[]> =>
  workerTask<DocumentAnswer, readonly OutFile[]>(
    await packedScript("chart"),
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
