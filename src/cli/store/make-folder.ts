import { statSync } from "node:fs";
import { dirname } from "node:path";
import { UnusableInput } from "../command.ts";
import { disk } from "./disk.ts";
import { isCode } from "./system-words.ts";

/**
 * Makes a folder and what is missing above it; another run may make it at the same time. Node's own
 * recursive way never ends where a parent is there and takes no folder, as under /proc.
 */
export function makeFolder(path: string): void {
  try {
    disk.makeFolder(path);
  } catch (error) {
    if (isThere(path, error)) return;
    if (!isCode(error, "ENOENT") || dirname(path) === path) throw error;
    makeFolder(dirname(path));
    makeLast(path);
  }
}

/** Once what is above it has been made. */
function makeLast(path: string): void {
  try {
    disk.makeFolder(path);
  } catch (error) {
    if (!isThere(path, error)) throw error;
  }
}

/** Whether making it failed because it is there; throws where a file has its name. */
function isThere(path: string, error: unknown): boolean {
  if (!isCode(error, "EEXIST")) return false;
  if (statSync(path).isDirectory()) return true;
  throw new UnusableInput(`${path} is a file, where a folder is needed`);
}
