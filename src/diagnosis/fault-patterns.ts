import { type ChainPrior, OPEN_PER_FOULED } from "./chain-prior.ts";
import type { CircuitMessages, CircuitModel } from "./circuit-model.ts";
import { pullBack, pushForward } from "./contact-kernel.ts";

/**
 * A **fault pattern** of a circuit is an integer: bit `i` is set where the contact of link `i` is
 * faulty, fouled or open. P(open) being a fixed part of P(fouled) whatever the body, a pattern's
 * probability splits into a factor of the bodies and one of the readings, and the readings' factor
 * is a chain of kernels. These are that chain's messages at one EMF, for every pattern.
 */
export interface PatternMessages {
  /** `front[i]`: weights of t behind link i, [pattern of links 0..i][node]. */
  readonly front: readonly Float64Array[];
  /** `frontOpen[i]`: the same for a path that is open by link i, [pattern]. */
  readonly frontOpen: readonly Float64Array[];
  /** `back[i]`: likelihood of what lies behind link i, [pattern of the links behind][node]. */
  readonly back: readonly Float64Array[];
  readonly backOpen: readonly Float64Array[];
}

/** A faulty link's weight relative to a fouled one, where the path is open already. */
const FAULTY = 1 + OPEN_PER_FOULED;

export function patternMessages(model: CircuitModel, messages: CircuitMessages): PatternMessages {
  const { front, frontOpen } = forward(model, messages);
  return { front, frontOpen, ...backward(model, messages) };
}

function forward(model: CircuitModel, { rows, pointOpen }: CircuitMessages) {
  const size = model.mesh.t.length;
  const links = model.prior.links.length;
  const everywhere = Array.from(model.mesh.panels.keys());
  const front: Float64Array[] = [];
  const frontOpen: Float64Array[] = [];
  for (let i = 0; i < links; i++) {
    const before = 1 << i;
    const alpha = new Float64Array(2 * before * size);
    const open = new Float64Array(2 * before);
    for (let p = 0; p < before; p++) {
      let alive = 1;
      if (i === 0) {
        alpha.set(model.sound.origin, 0);
        alpha.set(model.fouled.origin, size);
      } else {
        const from = front[i - 1]!;
        alive = from.subarray(p * size, (p + 1) * size).reduce((sum, x) => sum + x, 0);
        pushForward(model.sound, from, p * size, alpha, p * size, everywhere);
        pushForward(model.fouled, from, p * size, alpha, (p + before) * size, everywhere);
      }
      const dead = i === 0 ? 0 : frontOpen[i - 1]![p]!;
      open[p] = dead * pointOpen[i]!;
      open[p + before] = (dead * FAULTY + alive * OPEN_PER_FOULED) * pointOpen[i]!;
    }
    for (let at = 0; at < alpha.length; at++) alpha[at]! *= rows[i * size + (at % size)]!;
    front.push(alpha);
    frontOpen.push(open);
  }
  return { front, frontOpen };
}

function backward(model: CircuitModel, { rows, pointOpen }: CircuitMessages) {
  const size = model.mesh.t.length;
  const links = model.prior.links.length;
  const back: Float64Array[] = new Array(links);
  const backOpen: Float64Array[] = new Array(links);
  back[links - 1] = new Float64Array(size).fill(1);
  backOpen[links - 1] = Float64Array.of(1);
  const weighted = new Float64Array(size);
  for (let i = links - 1; i > 0; i--) {
    const behind = back[i]!.length / size;
    const beta = new Float64Array(2 * behind * size);
    const open = new Float64Array(2 * behind);
    for (let p = 0; p < behind; p++) {
      for (let m = 0; m < size; m++) {
        weighted[m] = back[i]![p * size + m]! * rows[i * size + m]!;
      }
      // Link i is the lowest bit of the pattern of the links behind link i - 1.
      pullBack(model.sound, weighted, 0, beta, 2 * p * size);
      pullBack(model.fouled, weighted, 0, beta, (2 * p + 1) * size);
      const dead = backOpen[i]![p]! * pointOpen[i]!;
      for (let m = 0; m < size; m++) beta[(2 * p + 1) * size + m]! += OPEN_PER_FOULED * dead;
      open[2 * p] = dead;
      open[2 * p + 1] = FAULTY * dead;
    }
    back[i - 1] = beta;
    backOpen[i - 1] = open;
  }
  return { back, backOpen };
}

/**
 * The bodies' factor of every pattern: sum over configurations of P(configuration | all other
 * readings) * product of P(sound or fouled | body). `omega` is each configuration's posterior over
 * this circuit's likelihood.
 */
export function patternPriors(prior: ChainPrior, omega: Float64Array): Float64Array {
  const links = prior.links.length;
  return Float64Array.from({ length: 1 << links }, (_, pattern) => {
    let sum = 0;
    for (let c = 0; c < omega.length; c++) {
      let product = omega[c]!;
      for (let i = 0; i < links; i++) {
        const link = prior.links[i]!;
        const body = link.shared ? (((c >> prior.sharedBefore[i]!) & 1) as 0 | 1) : 0;
        product *= (pattern >> i) & 1 ? link.fouled[body] : link.sound[body];
      }
      sum += product;
    }
    return sum;
  });
}
