import { isOnNoLane } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Moment, Reading, ReadingState } from "../domain/reading.ts";
import { volts } from "../domain/units.ts";
import { circuitOfCells, type NamedCircuit, pointFault, type WhereCells } from "./circuit-cells.ts";
import { type PoolNames, poolNames } from "./pool-names.ts";
import { quoted } from "./quoted.ts";
import { cellText, oneLine } from "./sheet/cell-text.ts";
import type { RowFault } from "./sheet/row-fault.ts";
import { SheetDates } from "./sheet/sheet-dates.ts";
import type { Meaning, SheetColumns } from "./sheet-columns.ts";
import { STRUCK } from "./strikes.ts";
import { meantVolts, readVolts, type WrittenVolts } from "./volts-text.ts";

/** All that a row says beside its volts, valid where `faults` is empty. */
export interface RowFacts {
  /** The cells that say where, blank ones of a merged lane filled in from above. */
  readonly where: WhereCells;
  /** Null where the row names none. */
  readonly circuit: NamedCircuit | null;
  readonly takenAt: Moment | null;
  readonly walk: string;
  readonly meter: string | null;
  readonly meterOn: boolean;
  readonly state: ReadingState;
  /** It takes back the reading that it names. */
  readonly struck: boolean;
  readonly id: string | null;
  readonly by: string | null;
  readonly note: string | null;
  readonly faults: readonly RowFault[];
}

const yes = new Set(["yes", "y", "true", "1", "on", "x"]);
const no = new Set(["no", "n", "false", "0", "off"]);
const states = new Map<string, ReadingState>([
  ["rest", "rest"],
  ["at rest", "rest"],
  ["pressed", "pressed"],
  ["moved", "moved"],
]);

/** `readings/2026-05-02.csv` is the walk `2026-05-02`. */
export const baseName = (file: string): string =>
  file.replace(/^.*[\\/]/, "").replace(/(?<=.)\.[^.]*$/, "") || file;

/** Reads the cells of rows of one sheet. */
export class RowReader {
  readonly #columns: SheetColumns;
  readonly #names: PoolNames;
  readonly #pool: Pool;
  readonly #fileWalk: string;
  readonly #emf: number;
  readonly #most: number;
  readonly #dates: SheetDates;
  /** The day of the rows above, where it was written as a day, for merged cells. */
  #dayAbove: string | null = null;
  /** Where the row above was read, for merged cells. */
  #above: WhereCells | null = null;
  /** The cells looked up last and what they mean: a round stays at one circuit for some rows. */
  #lastWhere: WhereCells = { lane: "", device: "", end: "" };
  #lastFound: ReturnType<typeof circuitOfCells>;
  #people = new Map<string, string>();

  constructor(
    columns: SheetColumns,
    pool: Pool,
    file: string,
    dates: SheetDates = new SheetDates(null),
  ) {
    this.#dates = dates;
    this.#columns = columns;
    this.#names = poolNames(pool);
    this.#pool = pool;
    this.#fileWalk = baseName(file);
    this.#emf = Math.max(...pool.supplies.map(({ emf }) => emf));
    this.#most = 1.5 * this.#emf;
    this.#lastFound = circuitOfCells(pool, this.#names, this.#lastWhere);
  }

  /** A cell without the blanks around it, empty where the sheet has no such column. */
  cell(record: readonly string[], meaning: Meaning): string {
    const index = this.#columns.at[meaning];
    if (index === undefined) return "";
    const text = this.at(record, index);
    return meaning === "note" ? text : oneLine(text);
  }

  /** A cell by its place. */
  at(record: readonly string[], index: number): string {
    return cellText(record[index] ?? "");
  }

  /** Everything but point and volts. */
  facts(record: readonly string[]): RowFacts {
    const faults: RowFault[] = [];
    const where = this.#unmerged(record);
    const circuit = this.#circuit(where, faults);
    const meter = this.#named("meter", record, this.#pool.meters[0]!.name, faults);
    const takenAt = this.#takenAt(record, faults);
    const meterOn = this.#meterOn(record, faults);
    const state = this.#state(record, faults);
    return {
      where,
      circuit,
      takenAt,
      walk: this.cell(record, "walk") || (takenAt?.day ?? this.#fileWalk),
      meter,
      meterOn,
      state,
      struck: this.cell(record, "state").toLowerCase() === STRUCK,
      id: this.cell(record, "id") || null,
      by: this.#person(this.cell(record, "by")),
      note: this.cell(record, "note") || null,
      faults,
    };
  }

  /** The point that a long row names. */
  point(record: readonly string[], faults: RowFault[]): string | null {
    return this.#named("point", record, null, faults);
  }

  /** What keeps this circuit from having a reading at that point; null where nothing does. */
  pointFault(facts: RowFacts, point: string): RowFault | null {
    return facts.circuit === null ? null : pointFault(facts.circuit, point);
  }

  /** The volts in a cell, checked against what this supply can give. */
  volts(text: string, exponent: 0 | -3, faults: RowFault[]): WrittenVolts | null {
    const value = readVolts(text, exponent);
    if (value !== null && value.volts >= 0 && value.volts <= this.#most) return value;
    const words = text === "" ? "volts is blank" : this.#voltsFault(text, value);
    const kind = value === null ? "not-a-number" : value.volts < 0 ? "negative" : "too-high";
    faults.push({ kind: text === "" ? "blank" : kind, words });
    return null;
  }

  /** A reading of facts that have no fault. */
  reading(facts: RowFacts, point: string, value: WrittenVolts, line: number): Reading {
    const { lane, device, end } = facts.circuit!.circuit;
    return {
      // Written out, not spread: a million of these are made, and a spread takes four times as long.
      lane,
      device,
      end,
      point,
      volts: volts(value.volts),
      step: volts(value.step),
      takenAt: facts.takenAt,
      walk: facts.walk,
      meter: facts.meter!,
      meterOn: facts.meterOn,
      state: facts.state,
      id: facts.id,
      by: facts.by,
      note: facts.note,
      line,
    };
  }

  #circuit(where: WhereCells, faults: RowFault[]): NamedCircuit | null {
    const { lane, device, end } = this.#lastWhere;
    const isSame = where.lane === lane && where.device === device && where.end === end;
    const found = isSame ? this.#lastFound : circuitOfCells(this.#pool, this.#names, where);
    this.#lastWhere = where;
    this.#lastFound = found;
    if ("circuit" in found) return found;
    faults.push(...found);
    return null;
  }

  /**
   * The cells that say where; a lane written once for its rows counts for the blank cells under it,
   * and with it the device and the end. A device that has no lane needs none.
   */
  #unmerged(record: readonly string[]): WhereCells {
    const own = {
      lane: this.cell(record, "lane"),
      device: this.cell(record, "device"),
      end: this.cell(record, "end"),
    };
    const above = this.#above;
    const merged = own.lane === "" && above !== null && !this.#isOfNoLane(own.device);
    const where = merged
      ? {
          lane: above.lane,
          device: own.device || above.device,
          end: own.end || (own.device === "" ? above.end : ""),
        }
      : own;
    if (where.lane !== "") this.#above = where;
    return where;
  }

  #isOfNoLane(device: string): boolean {
    const name = device === "" ? null : this.#names.device(device);
    return name !== null && isOnNoLane(this.#pool, name);
  }

  #named<Default extends string | null>(
    kind: "point" | "meter",
    record: readonly string[],
    whereBlank: Default,
    faults: RowFault[],
  ): string | Default | null {
    const text = this.cell(record, kind);
    if (text === "" && whereBlank !== null) return whereBlank;
    const name = this.#names[kind](text);
    if (name === null) faults.push({ kind, words: this.#names.unknown(kind, text) });
    return name;
  }

  #meterOn(record: readonly string[], faults: RowFault[]): boolean {
    const text = this.cell(record, "meter_on");
    if (text === "") return false;
    const on = text.toLowerCase();
    if (!yes.has(on) && !no.has(on)) {
      faults.push({ kind: "meter-on", words: `meter_on is ${quoted(text)}: neither yes nor no` });
    }
    return yes.has(on);
  }

  #state(record: readonly string[], faults: RowFault[]): ReadingState {
    const text = this.cell(record, "state");
    if (text === "") return "rest";
    if (text.toLowerCase() === STRUCK) return "rest";
    const state = states.get(text.toLowerCase());
    if (state === undefined) {
      faults.push({
        kind: "state",
        words: `state is ${quoted(text)}: none of rest, pressed, moved, ${STRUCK}`,
      });
    }
    return state ?? "rest";
  }

  /** When the row was read, as it is written: one column, or a date and a time. */
  momentText(record: readonly string[]): string {
    const text = this.cell(record, "taken_at");
    if (text !== "") return text;
    const date = this.cell(record, "date");
    const time = this.cell(record, "time");
    return date !== "" && time !== "" ? `${date}T${time}` : date || time;
  }

  /** A day written once for its rows counts for the blank cells under it; a moment does not. */
  #underDay(record: readonly string[]): string {
    const own = this.momentText(record);
    const day = this.#dayAbove;
    if (day === null || this.cell(record, "walk") !== "") return own;
    if (own === "") return day;
    const isTimeAlone = this.cell(record, "taken_at") === "" && this.cell(record, "date") === "";
    return isTimeAlone ? `${day}T${own}` : own;
  }

  #takenAt(record: readonly string[], faults: RowFault[]): Moment | null {
    const text = this.#underDay(record);
    if (text === "") return null;
    const moment = this.#dates.moment(text);
    const isDay = moment?.seconds === null || this.cell(record, "date") !== "";
    if (text === this.momentText(record)) this.#dayAbove = isDay ? (moment?.day ?? null) : null;
    if (moment === null) {
      const words = `taken_at is ${quoted(text)}: ${this.#dates.fault(text)}`;
      faults.push({ kind: "taken-at", words });
    }
    return moment;
  }

  #person(text: string): string | null {
    if (text === "") return null;
    const before = this.#people.get(text);
    if (before !== undefined) return before;
    if (this.#people.size < 1000) this.#people.set(text, text);
    return text;
  }

  #voltsFault(text: string, value: WrittenVolts | null): string {
    const why =
      value === null
        ? "not a number"
        : value.volts < 0
          ? "below 0, so the leads were swapped or a sign slipped in"
          : `over 1.5 times the supply, which is ${Number(this.#most.toFixed(3))} V`;
    const meant = meantVolts(text, value === null ? this.#most : 1.2 * this.#emf);
    const hint = meant === null ? "" : `; did you mean ${meant}?`;
    return `volts is ${quoted(text)}: ${why}${hint}`;
  }
}
