/**
 * Lines of `check --json` in DuckDB: one table a level, so that questions over a league are plain SQL.
 * DuckDB finds the columns by itself, from every line.
 */
import { type DuckDBConnection, DuckDBInstance, type Json } from "@duckdb/node-api";

/** A path as SQL writes a text. */
const quoted = (path: string): string => `'${path.replaceAll("'", "''")}'`;

/** The lines of a file as SQL's tables `answers`, `circuits` and `connectors`. */
const tables = (file: string): readonly string[] => [
  `CREATE TABLE answers AS
     SELECT pool, unnest(walks) AS said, rows, rejected
     FROM read_json(${quoted(file)}, format = 'newline_delimited', sample_size = -1)`,
  `CREATE TABLE circuits AS
     SELECT pool, said.walk AS walk, unnest(said.circuits, recursive := true) FROM answers`,
  `CREATE TABLE connectors AS
     SELECT pool, said.walk AS walk, unnest(said.connectors, max_depth := 2) FROM answers`,
];

/** Lines loaded, to be asked. */
export interface Loaded {
  /** Rows of a SELECT, by their columns' names. */
  readonly ask: (sql: string) => Promise<readonly Readonly<Record<string, Json>>[]>;
  readonly close: () => void;
}

async function rowsOf(connection: DuckDBConnection, sql: string) {
  const reader = await connection.runAndReadAll(sql);
  return reader.getRowObjectsJson();
}

/** Opens a database in memory, on one thread, and loads a file of lines. */
export async function loadLines(file: string): Promise<Loaded> {
  const instance = await DuckDBInstance.create(":memory:", { threads: "1" });
  const connection = await instance.connect();
  for (const sql of tables(file)) await connection.run(sql);
  return {
    ask: (sql) => rowsOf(connection, sql),
    close: () => {
      connection.closeSync();
      instance.closeSync();
    },
  };
}

/** Keeps the lines of one file as Parquet, packed by Zstandard. */
export async function packLines(from: string, to: string): Promise<void> {
  const instance = await DuckDBInstance.create(":memory:", { threads: "1" });
  const connection = await instance.connect();
  await connection.run(
    `COPY (SELECT * FROM read_json(${quoted(from)}, format = 'newline_delimited', sample_size = -1))
     TO ${quoted(to)} (FORMAT parquet, COMPRESSION zstd)`,
  );
  connection.closeSync();
  instance.closeSync();
}

/** Classes of connector, how many of them there are, and how many are expected to be at fault. */
const byPoint = `
  SELECT point, count(*)::INT AS connectors, round(sum(atFault), 1) AS expected_at_fault,
         (count(*) FILTER (atFault >= 0.5))::INT AS likely
  FROM connectors GROUP BY point ORDER BY expected_at_fault DESC, point`;

/** Circuits by what was said of them. */
const byVerdict = `
  SELECT verdict, count(*)::INT AS circuits, count(DISTINCT pool)::INT AS pools
  FROM circuits GROUP BY verdict ORDER BY circuits DESC, verdict`;

/** The pools to call first. */
const neediest = `
  SELECT pool, round(sum(atFault), 1) AS expected_at_fault,
         (SELECT count(*) FROM circuits c WHERE c.pool = connectors.pool AND verdict = 'weak')::INT AS weak
  FROM connectors GROUP BY pool ORDER BY expected_at_fault DESC, pool LIMIT 10`;

/** Questions that a league may ask, by what each is about. */
export const questions = {
  "connectors by class": byPoint,
  "circuits by verdict": byVerdict,
  "pools to call first": neediest,
} as const;
