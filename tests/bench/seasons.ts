/**
 * Ten seasons from file to decisions: 520 weekly walks of eight lanes with three devices and four
 * points (49,920 readings) and the work log of their cleanings, written to disk, then read, diagnosed,
 * followed through time and decided on by the built `dropwise decide`, on all processors. Prints; a
 * benchmark passes no judgement.
 *
 *   npm run build && npm run bench:seasons
 */

import { mkdtempSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Command } from "commander";
import type { Io, Register } from "../../src/cli/command.ts";
import { dayText } from "../../src/domain/calendar.ts";
import type { Pool } from "../../src/domain/pool.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { noKeeper } from "../../src/rooms/season-room.ts";
import { seededRandom } from "../study/random.ts";

const WALKS = Number(process.argv[2] ?? 520);
/** 2016-01-04, a Monday. */
const FIRST_DAY = 16_804;
/** ln ohms: where a cleaning brings a contact, and what it is cleaned at. */
const FLOOR = Math.log(0.2);
const WEAK = Math.log(25);
/** P(a cleaning cures). */
const CURE = 0.8;

const poolText =
  "pool: Kestrel Bay\nmodel: plain\nlanes: 8\ndevices: [touchpad, button-1, button-2]\n";
const random = seededRandom(520);

/** One connector's film: it grows at its own pace until somebody cleans it. */
interface Film {
  readonly lane: number | string | null;
  readonly device: string | null;
  readonly point: string;
  readonly growth: number;
  level: number;
}

/** Connectors of the pool; film grows on few of them fast enough to need a cleaning. */
function filmsOf(pool: Pool): Map<string, Film> {
  const films = new Map<string, Film>();
  for (const { point, sharedBy } of pool.links)
    for (const lane of sharedBy === "pool" ? [null] : pool.lanes)
      for (const device of sharedBy === "device" ? pool.devices : [null])
        films.set(`${point} ${lane} ${device}`, {
          ...{ lane, device, point, level: FLOOR },
          growth: Math.max(0, 0.03 + 0.04 * random.normal()),
        });
  return films;
}

/** Ten seasons on paper: readings and work, as people write them down. */
function seasons(pool: Pool): { readings: string; work: string } {
  const films = filmsOf(pool);
  const readings = ["taken_at,lane,device,point,volts"];
  const work = ["done_at,lane,device,point,action"];
  for (let walk = 0; walk < WALKS; walk += 1) {
    const day = dayText(FIRST_DAY + 7 * walk);
    const emf = 5 + 0.05 * random.normal();
    for (const lane of pool.lanes)
      for (const device of pool.devices) {
        let series = 0;
        for (const { point, sharedBy, wireOhms } of pool.links) {
          const owner = sharedBy === "pool" ? null : lane;
          const film = films.get(`${point} ${owner} ${sharedBy === "device" ? device : null}`);
          if (film === undefined) throw new Error(`no film at ${point}`);
          series += wireOhms + Math.exp(film.level + 0.1 * random.normal());
          const shown = (emf * 1000) / (1000 + series) + 0.02 * random.normal();
          readings.push(`${day},${lane},${device},${point},${shown.toFixed(2)}`);
        }
      }
    for (const film of films.values()) {
      film.level += film.growth;
      if (film.level < WEAK) continue;
      const done = dayText(FIRST_DAY + 7 * walk + 2);
      work.push(`${done},${film.lane ?? ""},${film.device ?? ""},${film.point},cleaned`);
      if (random.chance(CURE)) film.level = FLOOR;
    }
  }
  return { readings: `${readings.join("\n")}\n`, work: `${work.join("\n")}\n` };
}

const read = readPool(poolText, "pool.yaml");
if (!read.ok) throw new Error("the pool file is refused");
const folder = mkdtempSync(join(tmpdir(), "dropwise-seasons-"));
const file = (name: string): string => join(folder, name);
const { readings, work } = seasons(read.value);
writeFileSync(file("pool.yaml"), poolText);
writeFileSync(file("readings.csv"), readings);
writeFileSync(file("work.csv"), work);

let shown = 0;
let answer = "";
/** Processor seconds by what the progress line says is being done. */
const stages = new Map<string, number>();
let stage = "start";
let before = process.cpuUsage();
const charge = (next: string): void => {
  const now = process.cpuUsage(before);
  stages.set(stage, (stages.get(stage) ?? 0) + (now.user + now.system) / 1e6);
  before = process.cpuUsage();
  stage = next;
};
const io: Io = {
  out: (text) => {
    answer += text;
  },
  note: () => {},
  err: (text) => {
    shown += 1;
    charge(/[a-z]+/.exec(text.replace("\u001b[K", ""))?.[0] ?? "end");
  },
  colour: false,
  language: "en",
  progress: true,
  keeper: noKeeper,
  exit: () => {},
};
// As people run it: from source, every thread would first have to translate it.
const built = new URL("../../dist/cli/decide.js", import.meta.url).href;
const { registerDecide } = (await import(built)) as { readonly registerDecide: Register };
const program = new Command("dropwise");
registerDecide(program, io);
const [began, cpu] = [performance.now(), process.cpuUsage()];
const args = ["decide", "--pool", file("pool.yaml"), "--work", file("work.csv")];
await program.parseAsync([...args, file("readings.csv")], { from: "user" });
const seconds = (performance.now() - began) / 1000;
charge("end");
const used = process.cpuUsage(cpu);
const size = statSync(file("readings.csv")).size;
rmSync(folder, { recursive: true });

const rows = readings.split("\n").length - 2;
console.log(
  `${rows} readings (${(size / 1e6).toFixed(1)} MB), ${work.split("\n").length - 2} works`,
);
console.log(`file to decisions   ${seconds.toFixed(1)} s by the clock`);
console.log(`processor           ${((used.user + used.system) / 1e6).toFixed(1)} s`);
for (const [name, spent] of stages) console.log(`  ${name.padEnd(17)} ${spent.toFixed(1)} s`);
console.log(`largest memory      ${(process.resourceUsage().maxRSS / 1000).toFixed(0)} MB`);
console.log(`progress shown      ${shown} times`);
console.log(`suspects decided    ${answer.match(/^\d+\. /gm)?.length ?? 0}`);
