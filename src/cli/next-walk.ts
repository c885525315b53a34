import { createInterface } from "node:readline";
import { circuitCells, circuitName } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { noRows, type RowCounts } from "../domain/row-counts.ts";
import { volts } from "../domain/units.ts";
import { readMoment } from "../intake/moment-text.ts";
import { RowReader } from "../intake/reading-row.ts";
import { sheetColumns } from "../intake/sheet-columns.ts";
import { decimalsOf, type WrittenVolts } from "../intake/volts-text.ts";
import { cautionsSaid } from "../report/cautions.ts";
import { checkBrief } from "../report/check-brief.ts";
import { checkJson } from "../report/check-json.ts";
import { askText, suspectText } from "../report/next-text.ts";
import { rejectsText } from "../report/rejects-text.ts";
import { textOf } from "../report/wrap-text.ts";
import { walkStanding } from "../rooms/circuit-room.ts";
import { diagnose, type NextReading, nextReadings } from "../rooms/diagnosis-room.ts";
import { type Language, wordsIn } from "../words/language.ts";
import type { Words } from "../words/words.ts";
import type { Io } from "./command.ts";
import { exitStatus } from "./exit-status.ts";
import { loadReadings } from "./files.ts";
import { localDay, localTime } from "./local-time.ts";
import { WalkFile } from "./walk-file.ts";

export interface WalkOptions {
  readonly out: string;
  readonly resume: boolean;
  readonly by: string;
  readonly json: boolean;
}

/** A walk as it stands between two prompts. */
interface Session {
  readonly pool: Pool;
  readonly file: WalkFile;
  readonly walk: string;
  readonly by: string;
  readonly words: Words;
  readonly readings: Reading[];
  /** Places that cannot be reached, as `placeKey`. Not kept on disk. */
  readonly unreachable: Set<string>;
  /** The next reading's meter was just switched on. */
  meterOn: boolean;
}

const placeKey = ({ lane, device, point }: Pick<Reading, "lane" | "device" | "point">): string =>
  JSON.stringify([lane, device, point]);

/** Leads through a pool, point by point; every reading is on disk before the next prompt. */
export async function guidedWalk(pool: Pool, options: WalkOptions, io: Io): Promise<void> {
  const say = options.json ? io.err : io.out;
  const spoken = wordsIn(io.language);
  const { next } = spoken;
  const session = await beginSession(pool, options, io.language, say);
  for (const { words } of cautionsSaid(spoken.cautions, "measure")) say(textOf([words]));
  say(next.help);
  await askUntilDone(session, say);
  const { readings } = session;
  if (readings.length === 0) return say(`${next.nothingRead}\n`);
  const diagnosis = diagnose(pool, readings);
  say(`\n${next.written(readings.length, options.out)}\n\n`);
  const checked = { diagnosis, readings, standing: walkStanding(pool, diagnosis, readings) };
  if (options.json)
    io.out(checkJson(pool.name, [diagnosis], { rows: rowsRead(readings.length), rejected: [] }));
  else io.out(checkBrief(pool, checked, io.colour, io.language));
  io.exit(exitStatus.check([diagnosis]));
}

/** What was typed was all understood. */
const rowsRead = (count: number): RowCounts => ({ ...noRows, in: count, used: count });

async function beginSession(
  pool: Pool,
  { out, resume, by }: WalkOptions,
  language: Language,
  say: (text: string) => void,
): Promise<Session> {
  const words = wordsIn(language);
  const begun = { pool, by, words, unreachable: new Set<string>(), meterOn: false };
  const today = localDay(new Date());
  if (!resume) return { ...begun, file: WalkFile.begin(out), walk: today, readings: [] };
  const { file, torn } = WalkFile.resume(out);
  if (torn !== "") say(`${words.next.torn(torn)}\n`);
  const { readings, rejected } = await loadReadings([out], pool);
  say(rejectsText(rejected, language));
  const walk = readings.at(-1)?.walk ?? today;
  const own = readings.filter((one) => one.walk === walk);
  say(`${words.next.goingOn(walk, own.length)}\n`);
  return { ...begun, file, walk, readings: own };
}

/** The best reading that can be reached, or why there is none. */
function proposal({ pool, readings, unreachable, words }: Session): NextReading | string {
  const advice = nextReadings(pool, readings, 1 + unreachable.size);
  const found = advice.readings.find((one) => !unreachable.has(placeKey(one)));
  if (found !== undefined) return found;
  return words.next.stops[advice.stop ?? "out-of-reach"];
}

async function askUntilDone(session: Session, say: (text: string) => void): Promise<void> {
  const lines = createInterface({ input: process.stdin });
  const typed = lines[Symbol.asyncIterator]();
  try {
    for (;;) {
      const asked = proposal(session);
      if (typeof asked === "string") return say(`${asked}\n`);
      // Answers that change nothing leave the same point asked for.
      for (let done = false; !done; ) {
        say(askText(session.readings.length, asked, session.words));
        const line = await typed.next();
        if (line.done) return say("\n");
        // A terminal has shown what was typed; what comes through a pipe has been seen by nobody.
        if (process.stdin.isTTY !== true) say(`${line.value}\n`);
        if (line.value.trim().toLowerCase() === "q") return;
        done = answer(session, asked, line.value.trim(), say);
      }
    }
  } finally {
    lines.close();
  }
}

/** Does what was typed; true where another point may now be the best. */
function answer(
  session: Session,
  asked: NextReading,
  typed: string,
  say: (text: string) => void,
): boolean {
  const { next } = session.words;
  switch (typed.toLowerCase()) {
    case "":
    case "?":
      say(next.help);
      return false;
    case "m":
      session.meterOn = true;
      say(`   ${next.meterOn}\n`);
      return false;
    case "-":
      session.unreachable.add(placeKey(asked));
      return true;
    case "u":
      return undo(session, say);
    default:
      return take(session, asked, typed, say);
  }
}

function undo({ file, readings, words: { next } }: Session, say: (text: string) => void): boolean {
  const last = readings.at(-1);
  if (last === undefined) {
    say(`   ${next.nothingToUndo}\n`);
    return false;
  }
  file.cutLast();
  readings.pop();
  say(`   ${next.undone(last, last.volts)}\n`);
  return true;
}

function take(
  session: Session,
  asked: NextReading,
  typed: string,
  say: (text: string) => void,
): boolean {
  const { pool, file, walk, by, readings, words } = session;
  const value = readTyped(pool, typed);
  if (typeof value === "string") {
    const { notTaken } = words.next;
    say(`   ${notTaken === null ? "" : `${notTaken} `}${value}\n`);
    return false;
  }
  const { point } = asked;
  const taken = localTime(new Date());
  const meter = pool.meters[0]!.name;
  const meterOn = session.meterOn;
  const state = asked.act === "move" ? "moved" : "rest";
  file.append({
    walk,
    ...circuitCells(asked),
    point,
    volts: value.volts.toFixed(decimalsOf(value.step)),
    taken_at: taken,
    meter,
    meter_on: meterOn ? "yes" : "",
    state,
    by,
  });
  readings.push({
    ...circuitName(asked),
    point,
    volts: volts(value.volts),
    step: volts(value.step),
    takenAt: readMoment(taken),
    walk,
    meter,
    meterOn,
    state,
    id: null,
    by: by || null,
    note: null,
    line: readings.length + 2,
  });
  session.meterOn = false;
  if (value.volts === 0 && !meterOn) say(`   ${words.next.zero}\n`);
  say(suspectText(diagnose(pool, readings), words));
  return true;
}

/** The value by the reader of the sheets, or what is wrong with it. */
function readTyped(pool: Pool, typed: string): WrittenVolts | string {
  const columns = sheetColumns(["lane", "point", "volts"], pool);
  if (typeof columns === "string") throw new Error(columns);
  const faults: { kind: string; words: string }[] = [];
  const value = new RowReader(columns, pool, "").volts(typed, 0, faults);
  return value ?? faults[0]!.words.replace(/^volts is /, "");
}
