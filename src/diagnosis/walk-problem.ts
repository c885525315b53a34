import { limitOhms } from "../circuit/limit.ts";
import type { Circuit, Connector } from "../domain/circuit.ts";
import { circuitOf } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { isResting, type Reading } from "../domain/reading.ts";
import type {
  CircuitProblem,
  LinkProblem,
  ReadingProblem,
  StateChances,
  WalkProblem,
} from "../inference/problem.ts";
import { zeroRuns } from "./blank-displays.ts";
import type { Carried } from "./carried.ts";
import { displaySteps } from "./display-steps.ts";
import { meterOffChances } from "./meter-window.ts";
import { stateChances } from "./state-chances.ts";
import { loadOf, sourceOf } from "./unknown-ohms.ts";
import { placeInWalk, type WalkOrder, walkOrder } from "./walk-order.ts";
import { whatConducts } from "./what-conducts.ts";

/** One walk as the exact sums take it, and what their numbers stand for. */
export interface PosedWalk {
  readonly problem: WalkProblem;
  /** The walk's readings; their places in this list are the problem's numbers of them. */
  readonly order: WalkOrder;
  /** The circuits read, in the pool's order: as the problem's circuits. */
  readonly circuits: readonly Circuit[];
  /** The problem's bodies as connectors: those that several of the circuits read pass. */
  readonly bodies: readonly Connector[];
  /** Display step of each meter [V]. */
  readonly steps: ReadonlyMap<string, number>;
}

/** A bad moment adds a fresh fouled resistance with this chance, else it opens the contact. */
const BAD_FOULED = 0.7;
/** A value misread or mistyped lies anywhere from 0 to so much of the nominal EMF. */
const MISREAD_UP_TO = 1.1;
/** Never quite 0: a pool that allows no misread value may still hold one. */
const LEAST_FLOOR = 1e-30;

/**
 * A pool and one walk's readings in numbers; what is believed before them is what earlier walks left,
 * else as the pool file has it. Throws where a reading names no circuit, point or meter
 * of the pool: intake's promise.
 */
export function poseWalk(
  pool: Pool,
  readings: readonly Reading[],
  carried: Carried | null = null,
): PosedWalk {
  // The first version's model has no word for a closed switch.
  const order = walkOrder(pool.model.plain ? readings.filter(isResting) : readings);
  const steps = displaySteps(pool, order.readings);
  const byCircuit = numbersByCircuit(pool, order.readings);
  const circuits = pool.circuits.filter(({ index }) => byCircuit.has(index));
  const bodies = pool.connectors.filter(
    ({ sharing, circuits: served }) =>
      sharing !== "device" && served.filter((index) => byCircuit.has(index)).length > 1,
  );
  const contaminated = ({ index, priors }: Connector): number =>
    carried?.contaminated[index] ?? priors.contaminated;
  const statesOf = statesWith(bodies, contaminated);
  const linksOf = linkMaker(pool, bodies, carried, statesOf);
  const shown = readingMaker(pool, order, steps);
  const problem: WalkProblem = {
    supplies: pool.supplies.map((one) => ({
      emf: one.emf,
      emfSd: one.emfSd,
      sourceOhms: sourceOf(one),
    })),
    loads: pool.meters.map(loadOf),
    driftSd: pool.model.driftSd,
    noiseLogSd: pool.model.noiseLogSd,
    badMoments: { fouled: BAD_FOULED, law: pool.contact.fouled },
    bodies: bodies.map((connector) => ({ contaminated: contaminated(connector) })),
    circuits: circuits.map((circuit): CircuitProblem => {
      const own = byCircuit.get(circuit.index)!;
      const at = (resting: boolean): ReadingProblem[][] =>
        circuit.path.map(({ point }) =>
          own.flatMap((number) => {
            const reading = order.readings[number]!;
            const here = reading.point === point && isResting(reading) === resting;
            return here ? [shown(number, circuit)] : [];
          }),
        );
      return {
        supply: pool.supplies.findIndex(({ name }) => name === circuit.supply.name),
        links: linksOf(circuit),
        ...patternsOf(carried, circuit, statesOf),
        readings: at(true),
        pressed: at(false),
        conducting: whatConducts(circuit, pool.model),
        limitOhms: limitOhms(pool, circuit.supply),
      };
    }),
    zeroRuns: zeroRuns(pool, order),
  };
  return { problem, order, circuits, bodies, steps };
}

function numbersByCircuit(
  pool: Pool,
  readings: readonly Reading[],
): ReadonlyMap<number, readonly number[]> {
  const byCircuit = new Map<number, number[]>();
  for (const [number, reading] of readings.entries()) {
    const circuit = circuitOf(pool, reading);
    if (circuit === undefined || !circuit.path.some(({ point }) => point === reading.point)) {
      throw new Error(`reading of line ${reading.line} names no point of a circuit of this pool`);
    }
    const own = byCircuit.get(circuit.index);
    if (own === undefined) byCircuit.set(circuit.index, [number]);
    else own.push(number);
  }
  return byCircuit;
}

type States = LinkProblem["states"];

/** A contact's chances as a problem has them, while its connector's body is clean and contaminated. */
type StatesOf = (connector: Connector, states: States) => States;

/**
 * The body of a connector that only one of the circuits read passes is summed out: nothing else tells
 * of it.
 *
 * @param bodies Connectors whose bodies stay.
 * @param contaminated P(a connector's body is contaminated).
 */
const statesWith =
  (bodies: readonly Connector[], contaminated: (connector: Connector) => number): StatesOf =>
  (connector, states) => {
    if (bodies.includes(connector)) return states;
    const [clean, dirty] = states;
    const chance = connector.sharing === "device" ? 0 : contaminated(connector);
    const mean = (of: keyof StateChances): number => clean[of] + chance * (dirty[of] - clean[of]);
    const alone: StateChances = {
      sound: mean("sound"),
      fouled: mean("fouled"),
      open: mean("open"),
      cable: mean("cable"),
      intermittent: mean("intermittent"),
    };
    return [alone, alone];
  };

function patternsOf(carried: Carried | null, { index, path }: Circuit, statesOf: StatesOf) {
  const patterns = carried?.circuits[index]?.patterns ?? null;
  if (patterns === null) return {};
  return {
    patterns: patterns.map(({ chance, states }) => ({
      chance,
      states: states.map((own, k) => statesOf(path[k]!.connector, own)),
    })),
  };
}

/** Links of circuits; circuits that pass the same connectors have the same list of them. */
function linkMaker(
  { contact, model }: Pool,
  bodies: readonly Connector[],
  carried: Carried | null,
  statesOf: StatesOf,
): (circuit: Circuit) => readonly LinkProblem[] {
  const bodyOf = new Map(bodies.map((connector, index) => [connector, index]));
  const sound = [{ share: 1, ...contact.sound }];
  const { fouled } = contact;
  return ({ path, index }) =>
    path.map(({ wireOhms, connector }, k) => {
      const own =
        carried?.circuits[index]?.states[k] ?? stateChances(connector.priors, model.openPerFouled);
      const body = bodyOf.get(connector) ?? null;
      return { wireOhms, body, states: statesOf(connector, own), sound, fouled };
    });
}

/** Turns reading `number` into what is known of its display. */
function readingMaker(
  pool: Pool,
  { readings }: WalkOrder,
  steps: ReadonlyMap<string, number>,
): (number: number, circuit: Circuit) => ReadingProblem {
  const { model } = pool;
  const meters = new Map(pool.meters.map((meter, index) => [meter.name, { meter, index }]));
  const off = model.plain
    ? meterOffChances(readings, new Map(pool.meters.map((meter) => [meter.name, meter])))
    : [];
  return (number, { supply }) => {
    const { volts, meter: name, state, line } = readings[number]!;
    const known = meters.get(name);
    if (known === undefined) throw new Error(`reading of line ${line} names no meter of this pool`);
    const step = steps.get(name)!;
    const blank = model.plain && volts === 0 ? off[number]! : 0;
    const anywhere = (model.misread * step) / (MISREAD_UP_TO * supply.emf);
    return {
      index: number,
      shown: volts,
      halfStep: step / 2,
      noise: known.meter.noise,
      meter: known.index,
      order: placeInWalk(number, readings.length),
      slope: (1 - blank) * (1 - model.misread),
      tails: model.tails,
      floor: Math.max(LEAST_FLOOR, blank + (1 - blank) * anywhere),
      badMoment: state === "moved" ? model.badShareMoved : model.badShare,
    };
  };
}
