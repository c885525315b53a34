import type { ReportInput } from "../report/html-report.ts";
import type { App } from "./app.ts";
import type { OutFile } from "./save-file.ts";
import { soundPoints } from "./sound-points.ts";

type Answer = { readonly html: string } | { readonly failed: string };

/** The chart worker's script, which the page carries packed. */
async function chartScript(): Promise<Blob> {
  const base64 = document.getElementById("chart-script")?.textContent ?? "";
  const bytes = Uint8Array.from(atob(base64), (character) => character.charCodeAt(0));
  const unpacked = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Blob([await new Response(unpacked).arrayBuffer()], { type: "text/javascript" });
}

/** Has the chart worker write a report; the worker goes when it is done. */
async function write(input: ReportInput): Promise<string> {
  const url = URL.createObjectURL(await chartScript());
  const worker = new Worker(url);
  return new Promise<string>((done, fail) => {
    worker.onmessage = ({ data }: MessageEvent<Answer>) => {
      if ("html" in data) done(data.html);
      else fail(new Error(data.failed));
    };
    worker.onerror = (event) => fail(new Error(event.message || "this browser starts no worker"));
    worker.postMessage(input);
  }).finally(() => {
    worker.terminate();
    URL.revokeObjectURL(url);
  });
}

/** The report of the walk that is shown, as one HTML file. */
export async function makeReport(app: App): Promise<OutFile> {
  const findings = await app.currentFindings();
  const { pool, contents } = app;
  if (pool === null || contents === null) throw new Error("there is no pool in hand");
  const { diagnosis } = findings;
  const readings = app.readingsOf(findings.walk);
  const html = await write({
    pool,
    walk: diagnosis,
    readings,
    rejects: contents.rejected,
    sound: soundPoints(pool, diagnosis, readings),
    decisions: findings.decisions ?? [],
    season: null,
  });
  const name = `report-${findings.walk.replaceAll(/[^\w.-]+/g, "-")}.html`;
  return { name, type: "text/html", content: html };
}
