import { perWeek } from "../ageing/per-week.ts";
import { limitOhms } from "../circuit/limit.ts";
import {
  type Circuit,
  type ConnectorClass,
  pathWire,
  priorFouled,
  sourceOr0,
} from "../domain/circuit.ts";
import { circuitKey, circuitOf } from "../domain/place.ts";
import { filmPart, type Pool, UNIT_LOAD } from "../domain/pool.ts";
import { isResting } from "../domain/reading.ts";
import type { ContactHistory, DatedWalk } from "./contact-history.ts";
import type { PathInput, PathValue, SeasonInput } from "./growth/build-season.ts";

/** Contacts that are learnt from together. */
export interface ContactGroup {
  readonly point: string;
  readonly connector: string;
  readonly class: ConnectorClass;
}

/** A season as plain numbers, and whose they are. */
export interface ReadSeason {
  readonly input: SeasonInput;
  readonly groups: readonly ContactGroup[];
  /** By path: its contacts in order from the timer out. */
  readonly circuits: readonly (readonly ContactHistory[])[];
  /** By path: resistance of its contacts at which it reaches its limit [Ω]. */
  readonly rooms: readonly number[];
}

/**
 * P(a zero is a display that was off), at least: once off it stays so, and zeros come in runs, which
 * are here taken one by one.
 */
const BLANK = 0.02;
/** P(a contact that does not grow was fouled before anybody looked). Judgement. */
const FOULED_BEFORE = 0.08;

/** Work done later than this after the last walk is a slip of the pen: it is left out [days]. */
export const FAR_OFF = 365;

/** Readings at rest by circuit, as plain values. */
function valuesOf(pool: Pool, walks: readonly DatedWalk[]): Map<string, PathValue[]> {
  const meters = new Map(pool.meters.map((meter) => [meter.name, meter]));
  const byPath = new Map<string, PathValue[]>();
  walks.forEach(({ readings }, walk) => {
    for (const reading of readings) {
      const circuit = circuitOf(pool, reading);
      const meter = meters.get(reading.meter);
      if (!isResting(reading) || circuit === undefined || meter === undefined) continue;
      const position = circuit.path.findIndex(({ point }) => point === reading.point);
      if (position < 0) continue;
      const step = meter.resolution ?? reading.step;
      const off = reading.volts === 0 ? Math.max(BLANK, pool.model.blank) : 0;
      const anywhere = (pool.model.misread * step) / (1.1 * circuit.supply.emf);
      const key = circuitKey(circuit);
      const own = byPath.get(key) ?? [];
      byPath.set(key, own);
      own.push({
        ...{ walk, position, step, shown: reading.volts, noise: meter.noise },
        load: meter.loadOhms ?? UNIT_LOAD,
        stray: Math.max(1e-30, anywhere + off),
      });
    }
  });
  return byPath;
}

/**
 * Works on one contact: each after so many walks, of which none was made later, whether it saw the
 * contact or not; those of one day stand as the history has them.
 */
function worksOf(
  { segments }: ContactHistory,
  position: number,
  index: ReadonlyMap<string, number>,
  days: readonly number[],
): PathInput["works"] {
  return segments.flatMap(({ begunBy, begun }, s) => {
    if (begunBy === "first walk" || begun > days.at(-1)! + FAR_OFF) return [];
    const next = segments.slice(s).find(({ observations }) => observations.length > 0);
    const before = next === undefined ? days.length : index.get(next.observations[0]!.walk)!;
    const afterWalk = Math.min(before, days.filter((day) => day <= begun).length);
    return [{ position, day: begun, action: begunBy, afterWalk }];
  });
}

/** A circuit with the histories of its contacts, where every one of them has one. */
interface ReadCircuit {
  readonly circuit: Circuit;
  readonly contacts: readonly ContactHistory[];
}

function readCircuits(pool: Pool, histories: readonly ContactHistory[]): readonly ReadCircuit[] {
  const byCircuit = new Map<Circuit, ContactHistory[]>();
  for (const history of histories) {
    const circuit = circuitOf(pool, history);
    if (circuit === undefined) continue;
    byCircuit.set(circuit, [...(byCircuit.get(circuit) ?? []), history]);
  }
  return [...byCircuit].flatMap(([circuit, own]) => {
    const contacts = circuit.path.flatMap(
      ({ point }) => own.find((history) => history.point === point) ?? [],
    );
    return contacts.length === circuit.path.length ? [{ circuit, contacts }] : [];
  });
}

/** The groups in order from the timer out, and the one of each step of each circuit. */
function groupsOf(pool: Pool, circuits: readonly ReadCircuit[]) {
  const groups: ContactGroup[] = pool.points.flatMap((point) => {
    const here = circuits.flatMap(({ circuit }) =>
      circuit.path.filter((step) => step.point === point).map(({ connector }) => connector),
    );
    return [...new Set(here.map((one) => one.class))].map((kind) => {
      const names = new Set(here.filter((one) => one.class === kind).map(({ name }) => name));
      return { point, connector: [...names].join(", "), class: kind };
    });
  });
  const groupOf = (point: string, kind: ConnectorClass): number =>
    groups.findIndex((group) => group.point === point && group.class === kind);
  return { groups, groupOf };
}

/** Every value and every work of a season; `histories` as they come from the same walks. */
export function readSeason(
  pool: Pool,
  walks: readonly DatedWalk[],
  histories: readonly ContactHistory[],
  from: number,
): ReadSeason {
  const known = pool.meters[0]!.loadOhms !== null;
  const values = valuesOf(pool, walks);
  const index = new Map(walks.map(({ diagnosis }, w) => [diagnosis.walk, w]));
  const days = walks.map(({ day }) => day);
  const circuits = readCircuits(pool, histories);
  const { groups, groupOf } = groupsOf(pool, circuits);
  const paths = circuits.map(
    ({ circuit, contacts }): PathInput => ({
      wires: circuit.path.map(({ wireOhms }) => (known ? Number(wireOhms) : 0)),
      groups: circuit.path.map(({ point, connector }) => groupOf(point, connector.class)),
      sourceOhms: known ? Number(sourceOr0(circuit.supply)) : 0,
      supply: pool.supplies.findIndex(({ name }) => name === circuit.supply.name),
      values: values.get(circuitKey(circuit)) ?? [],
      works: contacts.flatMap((history, k) => worksOf(history, k, index, days)),
    }),
  );
  const { sound } = pool.contact;
  const film = filmPart(pool.contact);
  return {
    groups,
    circuits: circuits.map(({ contacts }) => contacts),
    rooms: circuits.map(({ circuit }) => roomOf(pool, circuit, known)),
    input: {
      ...{ paths, from, groups: groups.length },
      days: Float64Array.from(days),
      supplies: pool.supplies.map(({ emf, emfSd }) => ({ emf, emfSd })),
      driftSd: pool.model.driftSd,
      floor: { mean: Math.log(sound.medianOhms), sd: sound.logSd },
      fouled: { chance: FOULED_BEFORE, mean: Math.log(film.medianOhms), sd: film.logSd },
      strokes: {
        perWeek: groups.map((group) => strokesPerWeek(pool, group)),
        levels: pool.contact.fouled.map(({ share, medianOhms, logSd }) => ({
          ...{ share, mean: Math.log(medianOhms), sd: logSd },
        })),
      },
      misread: pool.model.misread,
      tails: pool.model.tails,
    },
  };
}

/** The rate at which a sound contact fouls, as the walks' own carry-over has it [a week]. */
function strokesPerWeek(pool: Pool, { point, class: kind }: ContactGroup): number {
  const own = pool.connectors.find((one) => one.point === point && one.class === kind)!;
  return perWeek(priorFouled(own.priors));
}

/** What the limit leaves for a path's contacts; infinite where it judges nothing [Ω]. */
function roomOf(pool: Pool, circuit: Circuit, known: boolean): number {
  if (!known && !("ohms" in pool.limit))
    return UNIT_LOAD * (circuit.supply.emf / pool.limit.volts - 1);
  const all = limitOhms(pool, circuit.supply);
  return all === null ? Number.POSITIVE_INFINITY : all - pathWire(circuit.path);
}
