import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { coreAlone, install, paperTimes, readmeRuns, startTimes } from "./installed.ts";
import {
  addresses,
  billOfMaterials,
  type Check,
  checkLine,
  contents,
  entries,
  licences,
  type PackedFile,
} from "./package-checks.ts";
import { attw, compiles, fetchVisitors, underNodes } from "./visitors.ts";

/**
 * Packs the package as it would be published, installs it in an empty folder and tries what README
 * promises: `npm run release:check`. Placeholders are named and let pass, but with `--publish`.
 */

const publishing = process.argv.includes("--publish");
const folder = mkdtempSync(join(tmpdir(), "dropwise-release-"));
// What the first run of a command finds is not what an earlier check has left.
process.env["XDG_CACHE_HOME"] = join(folder, "cache");

interface Packed {
  readonly filename: string;
  readonly size: number;
  readonly files: readonly PackedFile[];
}

function pack(): Packed {
  const args = ["pack", "--json", "--ignore-scripts", "--pack-destination", folder];
  const [packed] = JSON.parse(execFileSync("npm", args, { encoding: "utf8" })) as Packed[];
  return packed!;
}

let failed = 0;
function tell(checks: readonly Check[]): void {
  for (const check of checks) {
    const { ok, isPlaceholder } = check;
    const passes = ok || (isPlaceholder === true && !publishing);
    if (!passes) failed++;
    const mark = ok ? "ok  " : passes ? "todo" : "FAIL";
    process.stdout.write(checkLine(mark, check));
  }
}

try {
  const { filename, size, files } = pack();
  tell(addresses());
  tell(contents(files, size));
  tell(licences());
  tell([billOfMaterials()]);
  tell(await entries());
  tell(install(folder, join(folder, filename)));
  tell(readmeRuns(folder, process.execPath));
  tell(startTimes(folder, process.execPath));
  tell(paperTimes(folder, process.execPath));
  tell(coreAlone(join(folder, filename)));
  const visitors = fetchVisitors(folder);
  tell(attw(visitors, join(folder, filename)));
  tell(compiles(folder, visitors));
  tell(underNodes(folder, visitors));
} finally {
  rmSync(folder, { recursive: true, force: true });
}
process.stdout.write(failed === 0 ? "fit to release\n" : `${failed} failed\n`);
process.exitCode = failed === 0 ? 0 : 1;
