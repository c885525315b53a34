import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import type { ChartRuntime } from "../report/write-html.ts";

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

/** Reads the chart scripts that a report carries along, from the installed packages. */
export const chartRuntime = (): ChartRuntime => ({
  engine: besideEntry("vega", "vega.min.js"),
  interpreter: asClassicScript(besideEntry("vega-interpreter", "vega-interpreter.js")),
});
