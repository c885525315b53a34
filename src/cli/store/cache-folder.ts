import { isAbsolute, posix, win32 } from "node:path";

export type Environment = Readonly<Record<string, string | undefined>>;

/**
 * Where a user's programs keep what can be had again: `XDG_CACHE_HOME` (XDG Base Directory
 * Specification 0.8: an absolute path, else as if unset), `~/Library/Caches`, `LOCALAPPDATA`.
 */
export function cacheFolder(platform: string, env: Environment, home: string): string {
  if (platform === "win32")
    return env["LOCALAPPDATA"] || win32.join(home, "AppData", "Local", "Temp");
  if (platform === "darwin") return posix.join(home, "Library", "Caches");
  const named = env["XDG_CACHE_HOME"];
  return named && isAbsolute(named) ? named : posix.join(home, ".cache");
}
