import { readdirSync, statSync } from "node:fs";
import { join } from "node:path";
import { disk } from "./disk.ts";
import { isGone, newOwner, ownerPattern } from "./owner.ts";
import { attempt, removeTree } from "./write-whole.ts";

/** `.dropwise-draft-OWNER`: a file or folder that is being written, by whom. */
const pattern = new RegExp(`^\\.dropwise-(draft|ready|old)-(${ownerPattern})(?:-(.*))?$`);

/** What a name of this program's own says of the file or folder that bears it. */
export interface Leftover {
  readonly path: string;
  /** A draft is nobody's yet; a ready set is complete; an old folder stands aside. */
  readonly kind: "draft" | "ready" | "old";
  readonly owner: string;
  /** For an old folder: the name it had. */
  readonly name: string;
}

/** A name of this run's own in a folder. */
export const ownName = (kind: Leftover["kind"], name = ""): string =>
  `.dropwise-${kind}-${newOwner()}${name === "" ? "" : `-${name}`}`;

/** What runs that are over have left in a folder. */
export function leftoversIn(folder: string): Leftover[] {
  let names: string[] = [];
  attempt(() => {
    names = readdirSync(folder);
  });
  return names.flatMap((entry) => {
    const [, kind, owner, name = ""] = pattern.exec(entry) ?? [];
    if (kind === undefined || owner === undefined || !isGone(owner)) return [];
    return [{ path: join(folder, entry), kind: kind as Leftover["kind"], owner, name }];
  });
}

/** Removes a leftover, file or folder. */
export function sweep(path: string): void {
  attempt(() => {
    if (statSync(path).isDirectory()) removeTree(path);
    else disk.unlink(path);
  });
}
