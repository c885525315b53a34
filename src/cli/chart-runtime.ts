import { existsSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import type { ChartRuntime } from "../report/write-html.ts";
import { licenceNotices } from "./licence-notices.ts";

const require = createRequire(import.meta.url);

/** The file that a package's own entry point stands in. */
const besideEntry = (packageName: string, file: string): string =>
  readFileSync(join(dirname(require.resolve(packageName)), file), "utf8");

/**
 * The interpreter is published as an ES module that imports three names from `vega-util`; the engine
 * carries the same names. The two lines that say so are rewritten, and nothing else.
 */
function asClassicScript(module: string): string {
  const importLine = /^import \{([^}]*)\} from 'vega-util';$/m;
  const exportLine = /^export \{ (\w+) as expressionInterpreter \};$/m;
  if (!importLine.test(module) || !exportLine.test(module))
    throw new Error("vega-interpreter is not built as expected: its import or export line moved");
  const body = module
    .replace(importLine, "const {$1} = vega;")
    .replace(exportLine, "return $1;")
    .replace(/^\/\/# sourceMappingURL=.*$/m, "");
  return `const expressionInterpreter = (() => {\n${body}\n})();`;
}

/** Where a package of this name is installed for the code in `from`. */
function installed(name: string, from: string): string {
  const folder = join(from, "node_modules", name);
  if (existsSync(join(folder, "package.json"))) return folder;
  if (dirname(from) === from) throw new Error(`${name} is not installed`);
  return installed(name, dirname(from));
}

/** The package files of a package and of all that it is built from. */
export function builtFrom(
  name: string,
  from: string,
  found = new Set<string>(),
): ReadonlySet<string> {
  const folder = installed(name, from);
  const about = join(folder, "package.json");
  if (found.has(about)) return found;
  found.add(about);
  const { dependencies = {} } = JSON.parse(readFileSync(about, "utf8")) as {
    dependencies?: Record<string, string>;
  };
  for (const dependency of Object.keys(dependencies)) builtFrom(dependency, folder, found);
  return found;
}

/** Where the built command keeps them. */
const built = join(import.meta.dirname, "chart-runtime.json");

/** The chart scripts that a report carries along, as built, else from the installed packages. */
export const chartRuntime = (): ChartRuntime =>
  existsSync(built) ? JSON.parse(readFileSync(built, "utf8")) : fromPackages();

const fromPackages = (): ChartRuntime => ({
  engine: besideEntry("vega", "vega.min.js"),
  interpreter: asClassicScript(besideEntry("vega-interpreter", "vega-interpreter.js")),
  notices: licenceNotices([...builtFrom("vega", import.meta.dirname)]),
});
