/**
 * `npm run bench:cli-kills -- KILLS [NAME]`: each command that writes is killed (SIGKILL) at random
 * moments while it works, in one folder, again and again. A row or set that it said to have written
 * is lost if it does not stand there afterwards; a set is partial if what stands there is neither the
 * last that was said nor the one that was being written. Nothing is asserted; the status is 1 where
 * anything was lost. The drawing of charts, report and memo takes seconds: the call by which they
 * write their files is tried with files of their size.
 */
import { spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { build } from "esbuild";
import { writers } from "./writers.ts";

const [kills = 500, only] = [Number(process.argv[2] ?? 500), process.argv[3]];
if (only !== undefined && !(only in writers))
  throw new Error(`no writer is called ${only}: ${Object.keys(writers).join("; ")}`);
const home = mkdtempSync(join(tmpdir(), "dropwise-kills-"));
const victim = join(home, "victim.mjs");
const require =
  "import{createRequire as makeRequire}from'node:module';const require=makeRequire(import.meta.url);";
await build({
  ...{ entryPoints: [join(import.meta.dirname, "victim.ts")], outfile: victim, bundle: true },
  ...{ platform: "node", format: "esm", target: "node20", logLevel: "error" },
  banner: { js: require },
});

/** Longest wait for a kill [ms], and how many times a round's own time it is at least. */
const [WAIT, ROUNDS] = [400, 1.5];
/** How long a round took that was let end, of each writer [ms]. */
const took = new Map<string, number>();

/**
 * Runs a victim and kills it at a moment drawn over more than a round; what it said last, of each
 * kind. A writer's first victim is let end its round: that tells how long one takes.
 */
function killed(name: string, folder: string): Promise<{ begun: string; done: string }> {
  const child = spawn(process.execPath, [victim, name, folder], {
    stdio: ["ignore", "pipe", "pipe"],
  });
  const said = { out: "", err: "" };
  let begun = 0;
  child.stdout.on("data", (piece: Buffer) => {
    said.out += piece;
    const first = begun === 0;
    if (first) begun = performance.now();
    const known = took.get(name);
    if (known === undefined && said.out.includes("done ")) {
      took.set(name, performance.now() - begun);
      child.kill("SIGKILL");
    } else if (first && known !== undefined)
      setTimeout(() => child.kill("SIGKILL"), Math.max(WAIT, ROUNDS * known) * Math.random());
  });
  child.stderr.on("data", (piece: Buffer) => {
    said.err += piece;
  });
  return new Promise((resolve, reject) =>
    child.on("close", (_, signal) => {
      if (signal !== "SIGKILL") return reject(new Error(`${name}: ${said.err}`));
      const last = (kind: string): string =>
        [...said.out.matchAll(new RegExp(`^${kind} (.*)\n`, "gm"))].at(-1)?.[1] ?? "";
      resolve({ begun: last("begun"), done: last("done") });
    }),
  );
}

let lost = 0;
for (const [name, writer] of Object.entries(writers).filter(
  ([one]) => only === undefined || one === only,
)) {
  let [wrong, rounds, before] = [0, 0, ""];
  let folder = "";
  for (let kill = 0; kill < kills; kill++) {
    // A log that grows for ever is slow to read: a new folder now and then.
    if (kill % 25 === 0) {
      if (folder !== "") rmSync(folder, { recursive: true });
      folder = mkdtempSync(join(home, "case-"));
      writer.prepare(folder);
      before = writer.standing(folder);
    }
    const { begun, done } = await killed(name, folder);
    const standing = writer.standing(folder);
    const allowed = [done === "" ? before : done, begun];
    if (done !== "") rounds += 1;
    if (!allowed.includes(standing)) {
      wrong += 1;
      if (wrong <= 3)
        process.stdout.write(`  ${name}: stands ${standing}, allowed ${allowed.join(" or ")}\n`);
    }
    before = standing;
  }
  lost += wrong;
  process.stdout.write(
    `${name}: ${kills} kills, ${rounds} after something was acknowledged: ${wrong} lost or partial\n`,
  );
}
rmSync(home, { recursive: true });
process.exitCode = lost === 0 ? 0 : 1;
