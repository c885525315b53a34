/**
 * How fast, and in how much memory, a million rows come in: `npm run bench:import [rows]`.
 *
 * The file is made in the temp folder by a fixed rule. Each way of reading it runs in a process of
 * its own, so that its peak memory is its own: bare csv-parse, as a stream, counting its records;
 * then the import, once counting its readings and once keeping them all. On a busy machine processor
 * time tells more than the clock.
 */
import { spawnSync } from "node:child_process";
import { createReadStream, createWriteStream, mkdtempSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pipeline } from "node:stream/promises";
import { fileURLToPath } from "node:url";
import { parse } from "csv-parse";
import { loadReadings, streamReadings } from "../../src/cli/files.ts";
import type { Pool } from "../../src/domain/pool.ts";
import { readPool } from "../../src/intake/read-pool.ts";

const devices = ["touchpad", "button-1", "button-2"];
const points = ["timer", "harness", "plate", "pod"];

function thePool(): Pool {
  const pool = readPool(`pool: Kestrel Bay\nlanes: 8\ndevices: [${devices.join(", ")}]`, "pool");
  if (!pool.ok) throw new Error("the pool file is wrong");
  return pool.value;
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
    const volts = i % 997 === 0 ? "4,9l" : (5 - ((i * 7919) % 60) / 100).toFixed(2);
    const lane = 1 + Math.floor(reading / 12);
    const [device, point] = [devices[Math.floor(reading / 4) % 3], points[reading % 4]];
    const cell = volts.includes(",") ? `"${volts}"` : volts;
    yield `${lane},${device},${point},${cell},${day}T${time},deck,AB,\n`;
  }
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
  "import, keeping all": async (file) => {
    const { readings, rejected } = await loadReadings([file], thePool());
    return readings.length + rejected.length;
  },
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
  await pipeline(sheet(Number(name)), createWriteStream(path));
  console.log(`${name} rows, ${(statSync(path).size / 1e6).toFixed(1)} MB`);
  let bare = { seconds: 0, cpuSeconds: 0 };
  for (const one of Object.keys(ways)) {
    const args = ["--import", "tsx", fileURLToPath(import.meta.url), one, path];
    const { stdout, stderr } = spawnSync(process.execPath, args, { encoding: "utf8" });
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
