import type { CircuitModel } from "../inference/chain/circuit-model.ts";
import {
  type BlockShelf,
  blockShelf,
  type ContactKernel,
  contactKernel,
} from "../inference/chain/contact-kernel.ts";
import type { Mesh } from "../inference/chain/mesh.ts";
import { chainShape } from "../inference/chain/shape.ts";
import type { LoopNode } from "../inference/conducting/loop-nodes.ts";
import type { ConductingPlan } from "../inference/conducting/plan.ts";
import type { CircuitProblem, LogNormalPart } from "../inference/problem.ts";

/** A circuit with its meshes: all that its sums are taken over. */
export interface LaidCircuit {
  readonly model: CircuitModel;
  readonly plan: ConductingPlan;
  /** Loops through its pressed switch, where points in front of it were read so. */
  readonly pressed: readonly LoopNode[] | null;
  /** Contacts that come and go make its readings hardly likelier: they may count as sound. */
  readonly calm: boolean;
}

/**
 * The same meshes and loops for a circuit whose chances or laws were changed. Where a sketch was
 * enough for what conducts, it stays as it was.
 *
 * @param bad The law of a bad moment.
 */
export function relaid(
  { model, plan, pressed, calm }: LaidCircuit,
  circuit: CircuitProblem,
  bad: readonly LogNormalPart[],
): LaidCircuit {
  const again = (old: CircuitModel): CircuitModel => changedModel(old, circuit, bad);
  const loops = (old: readonly LoopNode[]): readonly LoopNode[] =>
    old.map((loop) => ({ ...loop, model: again(loop.model) }));
  return {
    model: again(model),
    plan: {
      unseen: plan.unseen,
      seen: plan.seen.map((seen) => {
        const whole = loops(seen.loops.whole);
        const behind = seen.behind === null ? null : again(seen.behind);
        return { ...seen, behind, loops: { whole, sparse: whole } };
      }),
    },
    pressed: pressed === null ? null : loops(pressed),
    calm,
  };
}

/** A model of the whole circuit, or of what lies behind one of its links. */
function changedModel(
  old: CircuitModel,
  circuit: CircuitProblem,
  bad: readonly LogNormalPart[],
): CircuitModel {
  const { mesh, kernels } = old;
  const from = circuit.links.length - old.circuit.links.length;
  const links = circuit.links.slice(from);
  const kernelOf = (kept: ContactKernel, was: Law, law: Law): ContactKernel =>
    isSame(was, law) ? kept : kernelOn(mesh, law);
  const was = old.circuit.links;
  return {
    circuit: {
      ...old.circuit,
      links,
      readings: circuit.readings.slice(from),
      pressed: circuit.pressed.slice(from),
    },
    shape: chainShape(links),
    mesh,
    kernels: {
      sound: links.map(({ sound }, k) => kernelOf(kernels.sound[k]!, was[k]!.sound, sound)),
      fouled: links.map(({ fouled }, k) => kernelOf(kernels.fouled[k]!, was[k]!.fouled, fouled)),
    },
    // A bad moment's law is that of a fouled contact.
    bad: { ...old.bad, kernel: kernelOf(old.bad.kernel, was[0]!.fouled, bad) },
  };
}

type Law = readonly LogNormalPart[];

const isSame = (a: Law, b: Law): boolean =>
  a === b ||
  a.every(({ share, medianOhms, logSd }, i) => {
    const other = b[i]!;
    return share === other.share && medianOhms === other.medianOhms && logSd === other.logSd;
  });

/** Kernels of laws that were tried, by mesh: a memo, never part of the answer. */
const laws = new Map<string, BlockShelf>();
const tried = new WeakMap<Mesh, Map<string, ContactKernel>>();
/** Of one round of tables: each law, tried on either side. */
const MOST_LAWS = 8;

function kernelOn(mesh: Mesh, law: Law): ContactKernel {
  const key = `${mesh.scale} ${JSON.stringify(law)}`;
  const own = tried.get(mesh) ?? new Map<string, ContactKernel>();
  tried.set(mesh, own);
  const known = own.get(key);
  if (known !== undefined) return known;
  if (own.size >= MOST_LAWS) own.clear();
  if (laws.size >= MOST_LAWS) laws.clear();
  const blocks = laws.get(key) ?? blockShelf(law);
  laws.set(key, blocks);
  const kernel = contactKernel(mesh, blocks);
  own.set(key, kernel);
  return kernel;
}
