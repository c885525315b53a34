import type { Circuit, Connector, Step, Supply } from "./circuit.ts";
import { nestingClashes } from "./nesting.ts";
import type { Lane, Place } from "./place.ts";
import type { Link } from "./pool.ts";
import { stackedPlugs } from "./stacked-plug.ts";

/** Which circuits a rule is for; what is null says nothing. */
export interface Selection {
  readonly lanes: readonly Lane[] | null;
  readonly devices: readonly string[] | null;
  readonly ends: readonly string[] | null;
}

/** A link as the file gives it: what it is, who shares it and for whom it is. */
export interface LinkRule extends Link {
  /** The groups of lanes (or devices of no lane) of a link shared by "lanes"; else empty. */
  readonly groups: readonly (readonly (Lane | string)[])[];
  readonly only: Selection | null;
  readonly except: Selection | null;
}

/** A device as the file gives it. */
export interface DeviceRule {
  readonly name: string;
  /** "none": one circuit of the facility, of no lane. */
  readonly lanes: readonly Lane[] | "none";
  readonly end: string | null;
  readonly stackedOn: string | null;
  /** Name of its supply; null: the one that its lane has. */
  readonly supply: string | null;
}

/** A supply and the lanes that it feeds; null: all. */
export interface SupplyRule extends Supply {
  readonly lanes: readonly Lane[] | null;
}

/** All that circuits are laid from. */
export interface FacilityRules {
  readonly lanes: readonly Lane[];
  readonly ends: readonly string[];
  readonly devices: readonly DeviceRule[];
  readonly supplies: readonly SupplyRule[];
  readonly links: readonly LinkRule[];
}

/** What keeps rules from making a facility, with the place in the file that it is told at. */
export type Clash =
  | { readonly kind: "twice"; readonly device: number; readonly lane: Lane | null }
  | { readonly kind: "not-stacked"; readonly device: number; readonly lane: Lane | null }
  | { readonly kind: "no-supply"; readonly device: number; readonly lane: Lane | null }
  | { readonly kind: "no-path"; readonly device: number; readonly lane: Lane | null }
  | { readonly kind: "no-circuit"; readonly link: number }
  | { readonly kind: "point-twice"; readonly link: number; readonly point: string }
  | { readonly kind: "two-supplies"; readonly link: number; readonly supplies: readonly string[] }
  | { readonly kind: "not-nested"; readonly first: Connector; readonly second: Connector };

/** The facility that rules make, and what is wrong with it; with a clash, it must not be used. */
export interface LaidCircuits {
  readonly circuits: readonly Circuit[];
  readonly connectors: readonly Connector[];
  readonly points: readonly string[];
  readonly clashes: readonly Clash[];
}

/** A circuit before its path is laid. */
export type BareCircuit = Omit<Circuit, "path">;

/**
 * Lays out the circuits of a facility: lanes in order, in each the devices in the file's order,
 * circuits of no lane last; along each the links that are for it; and for each link the connectors
 * that its circuits share.
 */
export function layCircuits(rules: FacilityRules): LaidCircuits {
  const clashes: Clash[] = [];
  const bare = bareCircuits(rules, clashes);
  const connectors: Connector[] = [];
  const paths: Step[][] = bare.map(() => []);
  for (const [link, rule] of rules.links.entries()) {
    const groups = groupsOf(rule, bare);
    if (groups.length === 0) clashes.push({ kind: "no-circuit", link });
    for (const group of groups) {
      const connector = connectorFor(rule, group, connectors.length, bare, rules.ends);
      const supplies = [...new Set(group.map((index) => bare[index]!.supply.name))];
      if (supplies.length > 1) clashes.push({ kind: "two-supplies", link, supplies });
      connectors.push(connector);
      for (const index of group) {
        if (paths[index]!.some(({ point }) => point === rule.point)) {
          clashes.push({ kind: "point-twice", link, point: rule.point });
        }
        paths[index]!.push({ point: rule.point, wireOhms: rule.wireOhms, connector });
      }
    }
  }
  const plugs = stackedPlugs(bare, connectors.length);
  for (const { connector, step } of plugs) {
    connectors.push(connector);
    paths[connector.circuits[0]!]!.push(step);
  }
  const circuits = bare.map((circuit, index) => ({ path: paths[index]!, ...circuit }));
  for (const { path, lane, device: name } of circuits) {
    const device = rules.devices.findIndex((rule) => rule.name === name);
    if (path.length === 0) clashes.push({ kind: "no-path", device, lane });
  }
  const named = [...rules.links.map(({ point }) => point), ...plugs.map(({ step }) => step.point)];
  const points = [...new Set(named)];
  return { circuits, connectors, points, clashes: [...clashes, ...nestingClashes(circuits)] };
}

/** One circuit for each lane, end and device that is not stacked. */
function bareCircuits(rules: FacilityRules, clashes: Clash[]): readonly BareCircuit[] {
  const found: Omit<BareCircuit, "index">[] = [];
  for (const [device, rule] of rules.devices.entries()) {
    const lanes = rule.lanes === "none" ? [null] : rule.lanes;
    for (const lane of lanes) {
      const end = rule.end ?? (lane === null ? null : (rules.ends[0] ?? null));
      const below = rule.stackedOn;
      const at = found.findIndex(
        (one) =>
          one.lane === lane &&
          one.devices.includes(below ?? rule.name) &&
          (one.end === end || (below !== null && rule.end === null)),
      );
      if (below !== null) {
        if (at < 0) clashes.push({ kind: "not-stacked", device, lane });
        else found[at] = { ...found[at]!, devices: [...found[at]!.devices, rule.name] };
        continue;
      }
      if (at >= 0) clashes.push({ kind: "twice", device, lane });
      const supply = supplyOf(rules.supplies, rule, lane);
      if (supply === undefined) clashes.push({ kind: "no-supply", device, lane });
      else found.push({ lane, device: rule.name, end, devices: [rule.name], supply });
    }
  }
  const order = [...rules.lanes, null];
  return order
    .flatMap((lane) => found.filter((one) => one.lane === lane))
    .map((one, index) => ({ index, ...one }));
}

function supplyOf(
  supplies: readonly SupplyRule[],
  rule: DeviceRule,
  lane: Lane | null,
): Supply | undefined {
  const feeds = (one: SupplyRule): boolean =>
    one.lanes === null ? supplies.length === 1 : lane !== null && one.lanes.includes(lane);
  const found =
    rule.supply === null
      ? (supplies.find(feeds) ?? (supplies.length === 1 && lane === null ? supplies[0] : undefined))
      : supplies.find(({ name }) => name === rule.supply);
  if (found === undefined) return undefined;
  return found;
}

const fits = (selection: Selection, { lane, devices, end }: BareCircuit): boolean =>
  (selection.lanes === null || (lane !== null && selection.lanes.includes(lane))) &&
  (selection.devices === null || devices.some((name) => selection.devices!.includes(name))) &&
  (selection.ends === null || (end !== null && selection.ends.includes(end)));

/** The circuits of each connector of a link, by index. A group that nobody is in makes none. */
function groupsOf(rule: LinkRule, bare: readonly BareCircuit[]): readonly (readonly number[])[] {
  const byKey = new Map<string, number[]>();
  for (const circuit of bare) {
    if (rule.only !== null && !fits(rule.only, circuit)) continue;
    if (rule.except !== null && fits(rule.except, circuit)) continue;
    const key = sharingKey(rule, circuit);
    if (key === null) continue;
    const own = byKey.get(key);
    if (own === undefined) byKey.set(key, [circuit.index]);
    else own.push(circuit.index);
  }
  return [...byKey.values()];
}

/**
 * Circuits with one key share a connector; null: the circuit does not pass the link. A timer has an
 * outlet of its own, so what the pool shares is one connector for each supply. A circuit of no lane
 * passes nothing that lanes share.
 */
function sharingKey(rule: LinkRule, circuit: BareCircuit): string | null {
  const { lane, device } = circuit;
  switch (rule.sharedBy) {
    case "pool":
      return circuit.supply.name;
    case "lanes": {
      const group = rule.groups.findIndex((members) => members.includes(lane ?? device));
      return group < 0 ? null : String(group);
    }
    case "lane":
      return lane === null ? null : JSON.stringify(lane);
    case "device":
      return String(circuit.index);
  }
}

function connectorFor(
  rule: LinkRule,
  circuits: readonly number[],
  index: number,
  bare: readonly BareCircuit[],
  ends: readonly string[],
): Connector {
  const { connector: name, point, class: kind, sharedBy: sharing, priors, wet } = rule;
  const served = circuits.map((one) => bare[one]!);
  const place = placeFor(point, sharing, served, bare, ends);
  return { index, name, point, class: kind, sharing, priors, wet, circuits, place };
}

/** A place names what all of its circuits have in common, as far as the sharing rule means it. */
function placeFor(
  point: string,
  sharing: Link["sharedBy"],
  served: readonly BareCircuit[],
  all: readonly BareCircuit[],
  ends: readonly string[],
): Place {
  const [first] = served;
  const lanes = [...new Set(served.flatMap(({ lane }) => (lane === null ? [] : [lane])))];
  const own = sharing === "lane" || sharing === "device";
  const ofOneTimer = sharing === "pool" && all.some(({ supply }) => supply !== first!.supply);
  const oneEnd = ends.length > 0 && served.every(({ end }) => end === first!.end);
  return {
    point,
    lane: own ? first!.lane : null,
    device: sharing === "device" ? first!.device : null,
    end: oneEnd ? first!.end : null,
    lanes,
    sharing: ofOneTimer ? "lanes" : sharing,
  };
}
