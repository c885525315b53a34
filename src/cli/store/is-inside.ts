import path, { type PlatformPath } from "node:path";

/**
 * Is a folder this one, or anywhere in it? By names alone, as the system compares them: Windows takes
 * capital letters and small ones for the same.
 */
export function isInside(
  inner: string,
  folder: string,
  { relative, isAbsolute, sep }: PlatformPath = path,
): boolean {
  const way = relative(folder, inner);
  return !(way === ".." || way.startsWith(`..${sep}`) || isAbsolute(way));
}
