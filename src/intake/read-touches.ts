import { z } from "zod";
import type { Pool } from "../domain/pool.ts";
import type { Reject } from "../domain/reading.ts";
import type { InputFault } from "../domain/result.ts";
import { fault, ok, type Result } from "../domain/result.ts";
import type { TouchCheck, TouchKind } from "../domain/touch.ts";
import { type LogRow, logRows, notOneOf, oneOf } from "./log-rows.ts";
import { momentFault, readMoment } from "./moment-text.ts";
import { poolNames } from "./pool-names.ts";

/** What a sheet of touch checks gave: every row is a check or a reject. */
export interface TouchesSheet {
  readonly touches: readonly TouchCheck[];
  readonly rejected: readonly Reject[];
}

const kinds: readonly TouchKind[] = ["fingertip", "open-hand"];

/** Presses of one row: nobody makes a thousand. */
const counts = z
  .object({
    tried: z.coerce.number().int().min(1).max(1000),
    registered: z.coerce.number().int().min(0).max(1000),
  })
  .refine(({ tried, registered }) => registered <= tried);

/**
 * Reads `touches.csv`: columns lane, device, kind (`fingertip` or `open-hand`), tried, registered;
 * optional taken_at and by. An empty device is the pool's first. Nothing throws on bad input.
 */
export function readTouches(
  text: string,
  pool: Pool,
  file: string,
): Result<TouchesSheet, InputFault> {
  const rows = logRows(
    text,
    file,
    ["lane", "kind", "tried", "registered"],
    ["device", "taken_at", "by"],
  );
  if (!rows.ok) return fault(rows.error);
  const touches: TouchCheck[] = [];
  const rejected: Reject[] = [];
  const names = poolNames(pool);
  for (const row of rows.value) {
    const faults: string[] = [];
    const check = touchOf(row, pool, names, faults);
    if (check !== null && faults.length === 0) touches.push(check);
    else
      rejected.push({
        file,
        line: row.line,
        kind: "touch",
        reason: faults.join("; "),
        text: row.text,
        fields: row.fields,
      });
  }
  return ok({ touches, rejected });
}

function touchOf(
  { cells, line }: LogRow,
  pool: Pool,
  names: ReturnType<typeof poolNames>,
  faults: string[],
): TouchCheck | null {
  const cell = (name: string): string => cells[name] ?? "";
  const lane = names.lane(cell("lane"));
  if (lane === null) faults.push(names.unknown("lane", cell("lane")));
  const device = cell("device") === "" ? (pool.devices[0] ?? null) : names.device(cell("device"));
  if (device === null) faults.push(names.unknown("device", cell("device")));
  const kind = oneOf(cell("kind"), kinds);
  if (kind === null) faults.push(notOneOf("kind", cell("kind"), kinds));
  const count = counts.safeParse({
    tried: cell("tried") || undefined,
    registered: cell("registered") || undefined,
  });
  if (!count.success)
    faults.push(
      `registered is '${cell("registered")}' of tried '${cell("tried")}': ` +
        "whole numbers, at least 1 tried and no more registered than tried",
    );
  const takenAt = cell("taken_at") === "" ? null : readMoment(cell("taken_at"));
  if (cell("taken_at") !== "" && takenAt === null)
    faults.push(`taken_at is '${cell("taken_at")}': ${momentFault(cell("taken_at"))}`);
  if (lane === null || device === null || kind === null || !count.success) return null;
  return { lane, device, kind, ...count.data, takenAt, by: cell("by") || null, line };
}
