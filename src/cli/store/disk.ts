import {
  chmodSync,
  closeSync,
  fsyncSync,
  ftruncateSync,
  linkSync,
  mkdirSync,
  openSync,
  renameSync,
  rmdirSync,
  unlinkSync,
  writeSync,
} from "node:fs";
import { patiently } from "./patience.ts";

/**
 * Every call by which this program changes a disk. Nothing else in `src/` imports them, so a test can
 * make each in turn fail, or be the last before a power cut, and look at what is left.
 */
export const disk = {
  open: openSync,
  write: (handle: number, bytes: Uint8Array, at: number | null): number =>
    writeSync(handle, bytes, 0, bytes.length, at),
  flush: fsyncSync,
  close: closeSync,
  truncate: ftruncateSync,
  rename: (from: string, to: string): void => patiently(() => renameSync(from, to)),
  link: linkSync,
  unlink: (path: string): void => patiently(() => unlinkSync(path)),
  makeFolder: (path: string): void => void mkdirSync(path),
  removeFolder: (path: string): void => patiently(() => rmdirSync(path)),
  setMode: chmodSync,
};
