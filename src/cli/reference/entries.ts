import { readFileSync } from "node:fs";
import { exportsOf, fileDoc } from "./exported.ts";
import type { Entry } from "./gaps.ts";

/** Every entry that package.json offers to programs, in its order. */
export function packageEntries(): readonly Entry[] {
  const { name, exports } = JSON.parse(readFileSync("package.json", "utf8")) as {
    readonly name: string;
    readonly exports: Readonly<Record<string, string | { readonly types: string }>>;
  };
  return Object.entries(exports).flatMap(([key, target]): readonly Entry[] => {
    if (typeof target === "string") return [];
    const file = target.types.replace("./dist/", "src/").replace(/\.d\.ts$/, ".ts");
    return [
      { name: `${name}${key.slice(1)}`, file, doc: fileDoc(file), exported: exportsOf(file) },
    ];
  });
}
