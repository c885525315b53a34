import { moveBody, moveKinds, type Passing } from "../../ageing/kind-moves.ts";
import type { Carried } from "../../diagnosis/carried.ts";
import { assumedAgeing } from "../../domain/assumed-ageing.ts";
import { dayNumber } from "../../domain/calendar.ts";
import type { Connector } from "../../domain/circuit.ts";
import type { StateLikelihoods } from "../../domain/findings.ts";
import { circuitKey, circuitName, connectorOf } from "../../domain/place.ts";
import type { Pool } from "../../domain/pool.ts";
import type { WorkEntry } from "../../domain/work.ts";
import { doneBefore } from "../../history/contact-history.ts";
import { buildNest } from "../../inference/nest/nest.ts";
import { sumNest } from "../../inference/nest/nest-sum.ts";
import { carriedCircuit } from "./carried-circuit.ts";
import {
  type CircuitTable,
  configurationChances,
  likelihoodTable,
  marginal,
  movedTables,
  unknownTable,
  weighedTable,
} from "./circuit-table.ts";

/** A walk as the walks after it need it. */
export interface SeenWalk {
  readonly walk: string;
  readonly day: number;
  readonly seconds: number | null;
  /** What its readings say by themselves. */
  readonly likelihoods: readonly StateLikelihoods[];
}

/** A walk that is to start from what was before it. */
export type WalkTime = Pick<SeenWalk, "day" | "seconds">;

/** Work on a connector. */
interface ConnectorWork {
  readonly connector: Connector;
  readonly day: number;
  readonly entry: WorkEntry;
}

/** Works on connectors, in the order of time. */
const worksOf = (pool: Pool, work: readonly WorkEntry[]): readonly ConnectorWork[] =>
  work
    .flatMap((entry): readonly ConnectorWork[] => {
      const connector = connectorOf(pool, entry);
      const day = dayNumber(entry.doneAt.day);
      return connector === undefined || day === null ? [] : [{ connector, day, entry }];
    })
    .toSorted(
      (a, b) => a.day - b.day || (a.entry.doneAt.seconds ?? 0) - (b.entry.doneAt.seconds ?? 0),
    );

/** Of fouled contacts, those with oxide, before any cleaning. */
const OXIDE = 1 - assumedAgeing.film.value;
const CURE = assumedAgeing.cure.value;

/**
 * What earlier walks and the works since the first of them leave to a walk: a filter over the states
 * of every circuit's contacts, given the bodies of its connectors, and over the bodies. A walk counts
 * by its own readings alone, each once; in between contacts and bodies age and are worked on
 * (`ageing/`). Resistances are not carried: they are as the pool file has them, so that a value which
 * comes again at its old level says no more than one at another. `before` in the order of time.
 */
export function carryOver(
  pool: Pool,
  before: readonly SeenWalk[],
  work: readonly WorkEntry[],
  shown: WalkTime,
): Carried {
  const filter = new SeasonFilter(pool);
  const log = worksOf(pool, work);
  const walks = [...before, shown];
  for (const [w, walk] of before.entries()) {
    filter.see(walk.likelihoods);
    const next = walks[w + 1]!;
    const isFirst = walk.day !== walks[w - 1]?.day;
    const between = log.filter(
      (one) => !doneBefore(one, walk, isFirst) && doneBefore(one, next, next.day !== walk.day),
    );
    filter.pass(between, walk.day, next.day);
  }
  return { informedBy: before.map(({ walk }) => walk), ...filter.priors() };
}

const DAYS_A_WEEK = 7;
const weeksOf = (days: number): readonly Passing[] =>
  days > 0 ? [{ kind: "weeks", weeks: days / DAYS_A_WEEK }] : [];

/** What is believed of a pool's contacts and bodies, walk after walk. */
class SeasonFilter {
  readonly #pool: Pool;
  readonly #circuits: readonly CircuitTable[];
  readonly #byName: ReadonlyMap<string, CircuitTable>;
  /** By connector: P(contaminated), and whether anything is known of it. */
  readonly #contaminated: number[];
  readonly #known: boolean[];

  constructor(pool: Pool) {
    this.#pool = pool;
    this.#circuits = pool.circuits.map((circuit) => unknownTable(pool, circuit, OXIDE));
    this.#byName = new Map(
      this.#circuits.map((one) => [circuitKey(circuitName(one.circuit)), one]),
    );
    this.#contaminated = pool.connectors.map(({ priors }) => priors.contaminated);
    this.#known = pool.connectors.map(() => false);
  }

  /** Weighs in what a walk's readings say. */
  see(likelihoods: readonly StateLikelihoods[]): void {
    const read = likelihoods.flatMap((one) => {
      const own = this.#byName.get(circuitKey(one));
      return own === undefined ? [] : [{ own, likelihood: likelihoodTable(one) }];
    });
    const weighed = read.map(({ own, likelihood }) =>
      own.tables.map((table) => weighedTable(table, likelihood)),
    );
    const bodies = read.map(({ own }) => bodiesOf(own));
    const { posterior } = sumNest(
      buildNest(bodies, this.#contaminated),
      weighed.map((own) => ({ logScale: 0, values: Float64Array.from(own, ({ sum }) => sum) })),
    );
    for (const [c, { own }] of read.entries()) {
      own.tables = weighed[c]!.map(({ table }) => table);
      own.known = true;
      for (const [bit, body] of bodies[c]!.entries()) {
        this.#known[body] = true;
        this.#contaminated[body] = posterior[c]!.reduce(
          (sum, p, configuration) => sum + ((configuration >> bit) % 2) * p,
          0,
        );
      }
    }
  }

  /** Lets the days from one walk to the next pass, with the works on connectors among them. */
  pass(works: readonly ConnectorWork[], from: number, to: number): void {
    // Connectors that were left alone share one: what passes is reckoned once.
    const idle = passingOf([], from, to);
    const passings = this.#pool.connectors.map((connector) => {
      const own = works.filter((one) => one.connector === connector);
      return own.length === 0 ? idle : passingOf(own, from, to);
    });
    const isWorked = (connector: Connector): boolean => passings[connector.index]!.works;
    // Where nothing is known yet, time changes nothing until work is done.
    const passingAt = (index: number, known: boolean): readonly Passing[] =>
      known ? passings[index]!.all : passings[index]!.sinceWork;
    const bodyMoves = this.#contaminated.map((_, body) => {
      const { contaminated } = this.#pool.connectors[body]!.priors;
      return moveBody(contaminated, passingAt(body, this.#known[body]!), CURE);
    });
    for (const table of this.#circuits) {
      const chances = this.#chances(table);
      const { path } = table.circuit;
      const moves = path.map(({ connector }, k) => {
        const now = marginal(table, chances, k);
        const passing = passingAt(connector.index, table.known);
        return table.priors[k]!.map((prior) =>
          moveKinds(prior, now, table.oxide[k]!, passing, CURE),
        );
      });
      table.tables = movedTables(
        table,
        chances,
        bodiesOf(table).map((body) => bodyMoves[body]!),
        moves.map(([clean, dirty]) => [clean!.states, dirty!.states]),
      );
      table.oxide = moves.map(([clean]) => clean!.oxide);
      table.known ||= path.some(({ connector }) => isWorked(connector));
    }
    for (const [body, move] of bodyMoves.entries()) {
      const before = this.#contaminated[body]!;
      this.#contaminated[body] = (1 - before) * move[1]! + before * move[3]!;
      this.#known[body] ||= passings[body]!.works;
    }
  }

  priors(): Omit<Carried, "informedBy"> {
    const circuits = this.#circuits.map((table) =>
      carriedCircuit(this.#pool, table, this.#chances(table)),
    );
    return { circuits, contaminated: this.#contaminated };
  }

  #chances(table: CircuitTable): Float64Array {
    return configurationChances(bodiesOf(table).map((body) => this.#contaminated[body]!));
  }
}

/** The connectors that are a circuit's bodies, by their bits. */
const bodiesOf = ({ circuit, bits }: CircuitTable): readonly number[] =>
  circuit.path.flatMap(({ connector }, k) => (bits[k] === null ? [] : [connector.index]));

/** What passes at one connector: all of it, and from its first work on. */
function passingOf(works: readonly ConnectorWork[], from: number, to: number) {
  const all: Passing[] = [];
  const sinceWork: Passing[] = [];
  let day = from;
  for (const { day: done, entry } of works) {
    const weeks = weeksOf(done - day);
    all.push(...weeks, { kind: entry.action });
    if (sinceWork.length > 0) sinceWork.push(...weeks);
    sinceWork.push({ kind: entry.action });
    day = Math.max(day, done);
  }
  const rest = weeksOf(to - day);
  all.push(...rest);
  if (sinceWork.length > 0) sinceWork.push(...rest);
  return { all, sinceWork, works: works.length > 0 };
}
