/**
 * How fast, and in how much memory, a million rows come in: `npm run bench:import [rows]`.
 *
 * The file is made in the temp folder by a fixed rule. Each way of reading it runs in a process of
 * its own, so that its peak memory is its own: bare csv-parse, as a stream, counting its records;
 * then the import, counting its readings, keeping them as `check` does (compact, sorted into walks)
 * and as objects; then `check` itself, diagnosis and printing included, of the latest walk and of
 * all of them, which is many minutes for a million rows. On a busy machine processor time tells
 * more than the clock.
 */

import { spawnSync } from "node:child_process";
import {
  createReadStream,
  createWriteStream,
  mkdtempSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { pipeline } from "node:stream/promises";
import { fileURLToPath } from "node:url";
import { Command } from "commander";
import { parse } from "csv-parse";
import { registerCheck } from "../../src/cli/check.ts";
import { keepReadings, loadReadings, streamReadings } from "../../src/cli/files.ts";
import type { Pool } from "../../src/domain/pool.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { inOrderOfTime, noKeeper } from "../../src/rooms/season-room.ts";

const devices = ["touchpad", "button-1", "button-2"];
const points = ["timer", "harness", "plate", "pod"];

const poolText = `pool: Kestrel Bay\nmodel: plain\nlanes: 8\ndevices: [${devices.join(", ")}]`;

function thePool(): Pool {
  const pool = readPool(poolText, "pool");
  if (!pool.ok) throw new Error("the pool file is wrong");
  return pool.value;
}

/**
 * Volts that one reading of a walk shows: sound paths within three hundredths, and on one lane,
 * another each walk, a plate that takes 0.4 V from there on.
 */
function voltsAt(walk: number, lane: number, point: number, i: number): number {
  const fouled = lane === 1 + (walk % 8) && point >= 2;
  return (fouled ? 4.57 : 4.97) + ((i * 7919) % 4) / 100;
}

/** Rows of many years' walks, 96 readings each, one reading every eight seconds; one in 997 wrong. */
function* sheet(rows: number): Generator<string> {
  yield "lane,device,point,volts,taken_at,meter,by,note\n";
  for (let i = 0; i < rows; i++) {
    const reading = i % 96;
    const walk = Math.floor(i / 96);
    const second = reading * 8;
    const two = (x: number): string => String(x).padStart(2, "0");
    const day = `${2000 + Math.floor(walk / 336)}-${two(1 + (Math.floor(walk / 28) % 12))}-${two(1 + (walk % 28))}`;
    const time = `10:${two(Math.floor(second / 60))}:${two(second % 60)}`;
    const lane = 1 + Math.floor(reading / 12);
    const volts = i % 997 === 0 ? "4,9l" : voltsAt(walk, lane, reading % 4, i).toFixed(2);
    const [device, point] = [devices[Math.floor(reading / 4) % 3], points[reading % 4]];
    const cell = volts.includes(",") ? `"${volts}"` : volts;
    yield `${lane},${device},${point},${cell},${day}T${time},deck,AB,\n`;
  }
}

/** `dropwise check` as a whole; what it prints is counted and let go. */
async function check(file: string, ...options: readonly string[]): Promise<number> {
  const program = new Command();
  let characters = 0;
  const out = (text: string): void => {
    characters += text.length;
  };
  registerCheck(program, {
    out,
    err: out,
    note: out,
    colour: false,
    language: "en",
    progress: false,
    keeper: noKeeper,
    exit: () => {},
  });
  const pool = join(dirname(file), "pool.yaml");
  await program.parseAsync(["check", "--pool", pool, file, ...options], { from: "user" });
  if (characters === 0) throw new Error("check printed nothing");
  return Number(process.env["BENCH_ROWS"]);
}

const ways: Readonly<Record<string, (file: string) => Promise<number>>> = {
  "bare csv-parse, stream": async (file) => {
    let rows = 0;
    const parser = createReadStream(file).pipe(parse());
    parser.on("data", () => {
      rows += 1;
    });
    await new Promise((resolve, reject) => parser.on("end", resolve).on("error", reject));
    return rows - 1;
  },
  "import, counting": async (file) => {
    let rows = 0;
    const count = (): void => {
      rows += 1;
    };
    await streamReadings([file], thePool(), { reading: count, reject: count });
    return rows;
  },
  "import, kept compact": async (file) => {
    const { kept, rejected } = await keepReadings([file], thePool());
    inOrderOfTime(kept.walks());
    return kept.size + rejected.length;
  },
  "import, kept as objects": async (file) => {
    const { readings, rejected } = await loadReadings([file], thePool());
    return readings.length + rejected.length;
  },
  "check --latest": (file) => check(file, "--latest"),
  "check, every walk": (file) => check(file),
};

const [name = "1000000", file] = process.argv.slice(2);
const way = ways[name];
if (way !== undefined && file !== undefined) {
  const start = performance.now();
  const cpuBefore = process.cpuUsage();
  const rows = await way(file);
  const seconds = (performance.now() - start) / 1000;
  const cpu = process.cpuUsage(cpuBefore);
  const cpuSeconds = (cpu.user + cpu.system) / 1e6;
  const megabytes = process.resourceUsage().maxRSS / 1024;
  console.log(JSON.stringify({ rows, seconds, cpuSeconds, megabytes }));
} else {
  const folder = mkdtempSync(join(tmpdir(), "dropwise-"));
  const path = join(folder, "million.csv");
  writeFileSync(join(folder, "pool.yaml"), poolText);
  await pipeline(sheet(Number(name)), createWriteStream(path));
  console.log(`${name} rows, ${(statSync(path).size / 1e6).toFixed(1)} MB`);
  let bare = { seconds: 0, cpuSeconds: 0 };
  for (const one of Object.keys(ways)) {
    const args = ["--import", "tsx", fileURLToPath(import.meta.url), one, path];
    const env = { ...process.env, BENCH_ROWS: name };
    const { stdout, stderr } = spawnSync(process.execPath, args, { encoding: "utf8", env });
    if (stdout === "") throw new Error(stderr);
    const { rows, seconds, cpuSeconds, megabytes } = JSON.parse(stdout);
    if (bare.seconds === 0) bare = { seconds, cpuSeconds };
    const byClock = (bare.seconds / seconds).toFixed(2);
    const byProcessor = (bare.cpuSeconds / cpuSeconds).toFixed(2);
    console.log(
      `${one.padEnd(24)} ${rows} rows, ${Math.round(rows / seconds)} rows/s, ` +
        `${seconds.toFixed(1)} s (processor ${cpuSeconds.toFixed(1)} s), ` +
        `${byClock} of bare csv-parse by the clock, ${byProcessor} by processor time, ` +
        `peak ${Math.round(megabytes)} MB`,
    );
  }
  rmSync(folder, { recursive: true });
}
