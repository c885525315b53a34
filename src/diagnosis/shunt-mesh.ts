import type { LogNormal } from "../domain/pool.ts";
import type { CircuitReading } from "./circuit-model.ts";
import { layMesh, type Mesh, type PanelTree, panelTree } from "./mesh.ts";
import { placeOfShare, shownShare } from "./shunted-path.ts";

/** Fold of the axis on which all loops of a pool live [Ω]. */
const FOLD = 1000;
/** Width of a panel across one reading's likelihood, in standard deviations of its noise. */
const ACROSS = 3;
/** A display's edge is felt so far away, in standard deviations of its noise. */
const FELT = 5;
/** From here on half as fine will do. */
const FAINT = 3;
/** Width of a panel across the device's resistance, in its standard deviations. */
const DEVICE_ACROSS = 2;
/** The device's resistance is not under this many of its standard deviations. */
const DEVICE_LEAST = -3.5;
const DEVICE_MOST = 4.5;
/** Panels grow with their distance from what lies ahead. */
const GROWTH = 1.5;

/** The axis that all loops of a pool share, so that kernels are worked out once. */
export const shuntAxis = (): PanelTree => panelTree(FOLD, 1 / 1024);

/** A loop of known resistance, seen from one circuit's contacts. */
export interface Loop {
  /** Contacts and device together [Ω]. */
  readonly rest: number;
  /** Source and wires together [Ω]. */
  readonly fixed: number;
  readonly device: LogNormal;
  /** The EMFs that will be asked for [V]. */
  readonly lowEmf: number;
  readonly highEmf: number;
}

/** One edge of a display step, as volts and as the contact resistance that would show it. */
interface Edge {
  readonly volts: number;
  readonly noise: number;
  readonly loadOhms: number;
  /** Source and wire up to the point [Ω]. */
  readonly fixed: number;
  /** Where the edge is first felt on the way from the timer, and how wide it is there [Ω]. */
  readonly ahead: number;
  readonly narrow: number;
}

/**
 * Lays the axis of contact resistance for one loop: fine where a reading's likelihood varies, where
 * the device's resistance ends, and in front of either. It ends where nothing is left for the device.
 */
export function shuntMesh(axis: PanelTree, readings: readonly CircuitReading[], loop: Loop): Mesh {
  const { rest, device } = loop;
  const edges = readings.flatMap((reading) => edgesOf(reading, loop));
  const mean = Math.log(device.medianOhms);
  const deviceZ = (ohms: number): number =>
    ohms > 0 ? (Math.log(ohms) - mean) / device.logSd : Number.NEGATIVE_INFINITY;
  const ohmsAt = (u: number): number => (u < 1 ? (FOLD * u) / (1 - u) : Number.POSITIVE_INFINITY);
  const most = rest - Math.exp(mean + DEVICE_LEAST * device.logSd);
  return layMesh(axis, Math.max(most, 0) / (FOLD + Math.max(most, 0)), (low, high) => {
    if (high - low < 1e-12) return false;
    const [from, to] = [ohmsAt(low), ohmsAt(high)];
    const zFrom = deviceZ(rest - from);
    const zTo = deviceZ(rest - to);
    if (zFrom > DEVICE_LEAST + 0.3 && zTo < DEVICE_MOST && zFrom - zTo > DEVICE_ACROSS) return true;
    return cutByEdges(edges, loop, from, to);
  });
}

function cutByEdges(edges: readonly Edge[], loop: Loop, from: number, to: number): boolean {
  const whole = loop.fixed + loop.rest;
  let finest = 0;
  let felt = 0;
  for (const { volts, noise, loadOhms, fixed, ahead, narrow } of edges) {
    if (to <= ahead) {
      if (to - from > GROWTH * (ahead - to) + narrow) return true;
      continue;
    }
    const shareFrom = shownShare(loadOhms, fixed + from, whole);
    const shareTo = shownShare(loadOhms, fixed + to, whole);
    const above = (loop.lowEmf * shareTo - volts) / noise;
    const below = (volts - loop.highEmf * shareFrom) / noise;
    const distance = Math.max(above, below);
    if (distance > FELT) continue;
    const width = (loop.highEmf * (shareFrom - shareTo)) / noise;
    finest = Math.max(finest, distance > FAINT ? width / 2 : width);
    felt += 1;
  }
  return finest > ACROSS / Math.sqrt(Math.max(1, felt));
}

function edgesOf({ loadOhms, loopOhms, display }: CircuitReading, loop: Loop): readonly Edge[] {
  const { shown, halfStep, noise } = display;
  const fixed = loopOhms - loadOhms;
  const whole = loop.fixed + loop.rest;
  const edge = (volts: number): Edge => {
    const place = (at: number): number => placeOfShare(loadOhms, at / loop.lowEmf, whole) - fixed;
    const ahead = place(volts + FELT * noise);
    return { volts, noise, loadOhms, fixed, ahead, narrow: place(volts + FAINT * noise) - ahead };
  };
  if (shown === 0) return [edge(halfStep)];
  // Close together, both edges are one.
  if (halfStep < noise) return [edge(shown)];
  return [edge(shown - halfStep), edge(shown + halfStep)];
}
