/** What the system's error codes mean to a person. */
const words: Readonly<Record<string, string>> = {
  ENOENT: "does not exist",
  EISDIR: "is a directory, where a file is needed",
  ENOTDIR: "does not exist: a part of its path is a file",
  EACCES: "may not be opened: permission denied",
  EPERM: "may not be opened: not permitted",
  ENAMETOOLONG: "does not exist: the name is too long",
  ENOSPC: "could not be written: the disk is full",
  EDQUOT: "could not be written: the disk quota is used up",
  EFBIG: "could not be written: no file may be so large",
  EROFS: "could not be written: the disk is read-only",
  EIO: "could not be read or written: the disk reports an error",
  EBUSY: "could not be used: another program has it open",
  EMFILE: "could not be opened: too many files are open",
};

/** The code of a system error, null for any other. */
export function systemCode(error: unknown): string | null {
  const code = error instanceof Error && "code" in error ? String(error.code) : "";
  return /^E[A-Z0-9]+$/.test(code) ? code : null;
}

export const isCode = (error: unknown, code: string): boolean => systemCode(error) === code;

/** What the system said, as the end of a sentence that begins with a path. */
export const systemWords = (code: string): string =>
  Object.hasOwn(words, code) ? words[code]! : `could not be used (${code})`;

/** What kept a file from being written, in words. */
export function reasonOf(error: unknown): string {
  const code = systemCode(error);
  if (code === "ENOENT") return "the folder does not exist";
  if (code !== null) return systemWords(code).replace(/^.*: /, "");
  return error instanceof Error ? error.message : String(error);
}
