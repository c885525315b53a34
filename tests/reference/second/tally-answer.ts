import type { Shared } from "./leaf-sums.ts";
import { showingOf } from "./leaf-sums.ts";
import { allStates, type PathState, priorOf, type State } from "./path-states.ts";
import {
  blamelessTotals,
  type CircuitAtPoint,
  type CircuitSums,
  contextOf,
  type ReadyWalk,
  sumOverAll,
} from "./walk-sums.ts";
import { OhmsMass, quantilesOf, type Three } from "./weighted-quantile.ts";

/** One walk's answer. Probabilities; ohms, volts; null is open. */
export interface SecondAnswer {
  readonly logEvidence: number;
  readonly supplies: readonly {
    readonly name: string;
    readonly emf: Three;
    readonly sourceOhms: Three;
    /** Chance that the source resistance is nought. */
    readonly sourceZero: number;
  }[];
  readonly meters: readonly {
    readonly name: string;
    readonly loadOhms: Three;
    /** Chance that the load is ten megohms exactly. */
    readonly tenMegohm: number;
    readonly noise: Three;
  }[];
  readonly drift: Three;
  readonly circuits: readonly {
    readonly lane: number;
    readonly device: string;
    readonly underLimit: number | null;
    readonly conducting: readonly {
      readonly kind: string;
      readonly point: string;
      readonly probability: number;
    }[];
  }[];
  readonly connectors: readonly {
    readonly connector: string;
    readonly point: string;
    readonly lane: number | null;
    readonly device: string | null;
    readonly members: readonly (readonly [number, string])[];
    readonly atFault: number;
  }[];
  readonly contacts: readonly {
    readonly lane: number;
    readonly device: string;
    readonly point: string;
    readonly sound: number;
    readonly fouled: number;
    readonly open: number;
    readonly openInConnector: number;
    readonly openInCable: number;
    readonly intermittent: number;
    readonly ohms: Three;
  }[];
  readonly readings: readonly {
    readonly row: number;
    readonly off: number;
    readonly misread: number;
    /** Display on, not misread, no bad moment. */
    readonly atFace: number;
  }[];
}

/** Which links share a connector: indices of circuits and links. */
interface Connector {
  readonly members: readonly (readonly [circuit: number, link: number])[];
}

const connectorsOf = ({ circuits }: ReadyWalk): Connector[] => {
  const found = new Map<string, (readonly [number, number])[]>();
  circuits.forEach(({ circuit }, c) => {
    circuit.path.forEach(({ owner }, k) => {
      found.set(owner, [...(found.get(owner) ?? []), [c, k]]);
    });
  });
  return [...found.values()].map((members) => ({ members }));
};

/** One circuit's growing sums. */
interface CircuitTally {
  /** Evidence through each mask and leaf, priors of the states left out; [mask][leaf]. */
  readonly joint: readonly Float64Array[];
  under: number;
  readonly misread: Float64Array;
  readonly face: Float64Array;
  readonly ohms: readonly OhmsMass[];
}

/** Adds up everything that is wanted, one set of shared numbers after another. */
export class Tally {
  private readonly ready: ReadyWalk;
  private readonly connectors: readonly Connector[];
  private readonly circuits: readonly CircuitTally[];
  private readonly blameless: Float64Array;
  private readonly off: Float64Array;
  private readonly points: Shared[] = [];
  private readonly evidences: number[] = [];

  constructor(ready: ReadyWalk) {
    this.ready = ready;
    this.connectors = connectorsOf(ready);
    this.blameless = new Float64Array(this.connectors.length);
    this.off = new Float64Array(ready.walk.rows.length);
    this.circuits = ready.circuits.map(({ circuit, leaves }) => ({
      joint: Array.from(
        { length: 2 ** circuit.path.length },
        () => new Float64Array(leaves.length),
      ),
      under: 0,
      misread: new Float64Array(circuit.readings.length),
      face: new Float64Array(circuit.readings.length),
      ohms: circuit.path.map(() => new OhmsMass()),
    }));
  }

  /** Adds one set of shared numbers with its weight. */
  add(
    shared: Shared,
    weight: number,
    at: readonly CircuitAtPoint[],
    used: readonly (readonly number[])[],
  ): void {
    const { ready } = this;
    const whole = (c: number, v: number, mask: number) => at[c]!.totals[v]![mask]!;
    const evidence = weight * sumOverAll(ready, whole);
    this.points.push(shared);
    this.evidences.push(evidence);
    if (!(evidence > 0)) return;
    this.connectors.forEach(({ members }, i) => {
      const clear = new Map(
        members.map(([c, k]) => [c, blamelessTotals(ready.circuits[c]!, at[c]!, used[c]!, k)]),
      );
      this.blameless[i]! +=
        weight * sumOverAll(ready, (c, v, mask) => (clear.get(c) ?? at[c]!.totals)[v]![mask]!);
    });
    this.off.forEach((_, row) => {
      if (ready.explanations.some(({ off }) => off.has(row))) {
        const counts = (e: number) => ready.explanations[e]!.off.has(row);
        this.off[row]! += weight * sumOverAll(ready, whole, counts);
      }
    });
    ready.circuits.forEach((sums, c) => {
      this.addCircuit(c, sums, weight, at[c]!, contextOf(ready, at, c), used[c]!);
    });
  }

  private addCircuit(
    c: number,
    { circuit, leaves, priors, variants }: CircuitSums,
    weight: number,
    { draws, leafMeans }: CircuitAtPoint,
    context: readonly Float64Array[],
    used: readonly number[],
  ): void {
    const tally = this.circuits[c]!;
    const n = circuit.readings.length;
    const strays = circuit.readings.map((r) => showingOf(this.ready.walk, circuit, r).stray);
    variants.forEach((off, v) => {
      for (const leaf of used) {
        let joint = 0;
        context[v]!.forEach((other, mask) => {
          tally.joint[mask]![leaf]! += weight * other * leafMeans[v]![leaf]!;
          joint += other * priors[mask]![leaf]!;
        });
        if (joint === 0) continue;
        const { finite, cut } = leaves[leaf]!;
        for (let m = 0; m < draws.count; m++) {
          const slot = leaf * draws.count + m;
          let mass = (weight * joint * draws.weight[slot]!) / draws.count;
          for (let j = 0; j < n; j++) if (!((off >> j) & 1)) mass *= draws.chance[slot * n + j]!;
          if (cut || draws.under[slot]) tally.under += mass;
          for (let j = 0; j < n; j++) {
            if ((off >> j) & 1) continue;
            const part = mass / draws.chance[slot * n + j]!;
            tally.misread[j]! += part * strays[j]!;
            tally.face[j]! += part * draws.face[slot * n + j]!;
          }
          for (let k = 0; k < finite.length; k++) {
            tally.ohms[k]!.add(draws.ohms[slot * circuit.path.length + k]!, mass);
          }
        }
      }
    });
  }

  /** Sum over one circuit's states. */
  private over(c: number, counts: (state: PathState) => boolean): number {
    const { circuit, states } = this.ready.circuits[c]!;
    const { walk } = this.ready;
    let sum = 0;
    this.circuits[c]!.joint.forEach((leaves, mask) => {
      for (const state of states) {
        const mass = leaves[state.leaf]!;
        if (mass > 0 && counts(state)) sum += mass * priorOf(walk, circuit, state, mask);
      }
    });
    return sum;
  }

  /** Contact k's resistance: what was drawn, the prior behind an open contact, and infinity. */
  private ohmsOf(c: number, k: number): Three {
    const mass = this.circuits[c]!.ohms[k]!;
    const { sound, fouled } = this.ready.walk;
    const behind = (s: State) => (state: PathState) =>
      state.states[k] === s && state.states.slice(0, k).some((x) => x === "o" || x === "c");
    mass.addLaw(sound, this.over(c, behind("s")) + this.over(c, behind("i")));
    const foul = this.over(c, behind("f"));
    for (const part of fouled) mass.addLaw(part, foul * part.share);
    mass.open = this.over(c, ({ states }) => states[k] === "o" || states[k] === "c");
    return mass.three();
  }

  private contactsOf(c: number, total: number): SecondAnswer["contacts"] {
    const { circuit } = this.ready.circuits[c]!;
    return circuit.path.map(({ point }, k) => {
      const [sound, fouled, inConnector, inCable, intermittent] = allStates.map(
        (s) => this.over(c, ({ states }) => states[k] === s) / total,
      );
      return {
        lane: circuit.lane,
        device: circuit.device,
        point,
        sound: sound!,
        fouled: fouled!,
        open: inConnector! + inCable!,
        openInConnector: inConnector!,
        openInCable: inCable!,
        intermittent: intermittent!,
        ohms: this.ohmsOf(c, k),
      };
    });
  }

  private circuitAnswer(c: number, total: number): SecondAnswer["circuits"][number] {
    const { circuit, states } = this.ready.circuits[c]!;
    const things = [...new Set(states.map(({ conducting }) => conducting))];
    return {
      lane: circuit.lane,
      device: circuit.device,
      underLimit: circuit.limitOhms === null ? null : this.circuits[c]!.under / total,
      conducting: things
        .filter(({ kind }) => kind !== "none")
        .map((thing) => ({
          kind: thing.kind,
          point: circuit.path[thing.at]!.point,
          probability: this.over(c, ({ conducting }) => conducting === thing) / total,
        })),
    };
  }

  private sharedOf(pick: (shared: Shared) => number): Three {
    return quantilesOf(this.points.map(pick), this.evidences);
  }

  private chanceThat(total: number, holds: (shared: Shared) => boolean): number {
    return this.points.reduce((s, p, i) => s + (holds(p) ? this.evidences[i]! : 0), 0) / total;
  }

  private connectorAnswer(i: number, total: number): SecondAnswer["connectors"][number] {
    const { members } = this.connectors[i]!;
    const [c, k] = members[0]!;
    const { connector, point, lane, device } = this.ready.circuits[c]!.circuit.path[k]!;
    return {
      connector,
      point,
      lane,
      device,
      members: members.map(([d]) => {
        const { circuit } = this.ready.circuits[d]!;
        return [circuit.lane, circuit.device] as const;
      }),
      atFault: 1 - this.blameless[i]! / total,
    };
  }

  /** Everything as shares of the evidence. */
  answer(): SecondAnswer {
    const { walk, circuits } = this.ready;
    const total = this.evidences.reduce((a, b) => a + b, 0);
    return {
      logEvidence: Math.log(total),
      supplies: walk.facility.supplies.map(({ name }, i) => ({
        name,
        emf: this.sharedOf(({ emf }) => emf[i]!),
        sourceOhms: this.sharedOf(({ source }) => source[i]!),
        sourceZero: this.chanceThat(total, ({ source }) => source[i] === 0),
      })),
      meters: walk.facility.meters.map(({ name, noise }, i) => ({
        name,
        loadOhms: this.sharedOf(({ load }) => load[i]!),
        tenMegohm: this.chanceThat(total, ({ load }) => load[i] === 10e6),
        noise: this.sharedOf(({ tau }) => tau * noise),
      })),
      drift: this.sharedOf(({ drift }) => drift),
      circuits: circuits.map((_, c) => this.circuitAnswer(c, total)),
      connectors: this.connectors.map((_, i) => this.connectorAnswer(i, total)),
      contacts: circuits.flatMap((_, c) => this.contactsOf(c, total)),
      readings: walk.rows.map((_, row) => {
        const c = circuits.findIndex(({ circuit }) => circuit.readings.some((r) => r.row === row));
        const j = circuits[c]!.circuit.readings.findIndex((r) => r.row === row);
        return {
          row,
          off: this.off[row]! / total,
          misread: this.circuits[c]!.misread[j]! / total,
          atFace: this.circuits[c]!.face[j]! / total,
        };
      }),
    };
  }
}
