/**
 * `dropwise/intake`: text of files to values and rejects.
 *
 * Source: the project's own files; CSV after RFC 4180, YAML 1.2, JSON Schemas beside them.
 */
export { unknownFacility } from "../domain/facility.ts";
export type { KnownPool } from "../intake/pool/made-pool.ts";
export { readPool } from "../intake/pool/read-pool.ts";
export { readFacility } from "../intake/read-facility.ts";
export { type MeterRow, type MeterSheet, readMeterSheet } from "../intake/read-meter-sheet.ts";
export { type ReadingsSheet, readReadings } from "../intake/read-readings.ts";
export { readWorkLog, type WorkLog } from "../intake/read-work-log.ts";
export { rejectedCsv } from "../intake/rejected-csv.ts";
