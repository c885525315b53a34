import { execFileSync } from "node:child_process";
import { mkdtempSync, statSync } from "node:fs";
import { cpus, loadavg, tmpdir } from "node:os";
import { join } from "node:path";

/**
 * `npm run bench:report`: report and memo of the demo season from a cold start, each in a new
 * process of the program, built anew.
 */
const folder = mkdtempSync(join(tmpdir(), "dropwise-bench-"));
const season = "datasets/kestrel-bay";
const common = [
  "--pool",
  `${season}/pool.yaml`,
  `${season}/readings.csv`,
  "--work",
  `${season}/work.csv`,
];
const runs = 3;

function measure(name: string, args: readonly string[], file: string): void {
  const seconds = Array.from({ length: runs }, () => {
    const start = performance.now();
    execFileSync(process.execPath, ["dist/command/start.js", ...args], { stdio: "ignore" });
    return (performance.now() - start) / 1000;
  }).sort((a, b) => a - b);
  const size = (statSync(file).size / 1000).toFixed(0);
  const all = seconds.map((one) => one.toFixed(1)).join(", ");
  process.stdout.write(`${name}: ${seconds[0]!.toFixed(1)} s at best (${all}), ${size} kB\n`);
}

const load = loadavg()[0]!.toFixed(1);
process.stdout.write(`${cpus().length} cores, load average ${load}, Node ${process.version}\n`);
const report = join(folder, "report.html");
measure("report", ["report", ...common, "--out", report], report);
measure("memo", ["memo", ...common, "--out", folder], join(folder, "memo.docx"));
