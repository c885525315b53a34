import { createHash, randomUUID } from "node:crypto";
import { readFileSync } from "node:fs";
import { hostname } from "node:os";

/** This machine, short enough for a file's name. */
const host = createHash("sha256").update(hostname()).digest("hex").slice(0, 8);

/**
 * When a process began, in the kernel's ticks since it started (Linux, proc(5), field 22): a number
 * given to another process again is then told from the first. `0` where nobody says.
 */
function beginning(pid: number): string {
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, "utf8");
    return stat.slice(stat.lastIndexOf(")") + 2).split(" ")[19] ?? "0";
  } catch {
    return "0";
  }
}

/** A name that no other run has, and that tells which run made it: machine, process, beginning. */
export const newOwner = (): string =>
  [host, process.pid, beginning(process.pid), randomUUID().slice(0, 8)].join("-");

/** What a name of `newOwner` looks like, for a pattern. */
export const ownerPattern = "[0-9a-f]{8}-\\d+-\\d+-[0-9a-f]{8}";

/**
 * Is the run that made this name surely over? Of another machine nobody here can tell: it counts as
 * running.
 */
export function isGone(owner: string): boolean {
  const [where, pid, began] = owner.split("-");
  if (where !== host) return false;
  try {
    process.kill(Number(pid), 0);
  } catch (error) {
    return (error as { code?: string }).code === "ESRCH";
  }
  const now = beginning(Number(pid));
  return began !== "0" && now !== "0" && began !== now;
}
