import type { App } from "./app.ts";
import type { OutFile } from "./save-file.ts";

/** The report of the walk that is shown, as one HTML file. */
export async function makeReport(_app: App): Promise<OutFile> {
  throw new Error("not yet");
}
