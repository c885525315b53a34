/** A file that leaves the page. */
export interface OutFile {
  readonly name: string;
  readonly type: string;
  readonly content: BlobPart;
}

/** Hands a file to the browser's downloads. */
export function saveFile({ name, type, content }: OutFile): void {
  const url = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement("a");
  link.href = url;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}

const asFile = ({ name, type, content }: OutFile): File => new File([content], name, { type });

/** The phone can hand files like this to another app. */
export function canShare(files: readonly OutFile[]): boolean {
  return navigator.canShare?.({ files: files.map(asFile) }) ?? false;
}

/**
 * Opens the phone's own share sheet; a user who closes it again did nothing wrong. Gives what the
 * user is to do where the sheet did not open, null where all is well.
 */
export async function shareFiles(title: string, files: readonly OutFile[]): Promise<string | null> {
  try {
    await navigator.share({ title, files: files.map(asFile) });
  } catch (error) {
    const why = error instanceof DOMException ? error.name : "";
    // A share sheet opens only right after a tap, and what took long to write comes too late.
    if (why === "NotAllowedError") return "It is ready to share now: press the button once more.";
    if (why !== "AbortError") throw error;
  }
  return null;
}
