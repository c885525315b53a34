import { assumed, assumedPriors } from "../../domain/assumed.ts";
import type { ConnectorClass, ContactPriors } from "../../domain/circuit.ts";
import { copperResistance } from "../../domain/copper-wire.ts";
import type {
  DeviceRule,
  FacilityRules,
  LinkRule,
  Selection,
  SupplyRule,
} from "../../domain/lay-circuits.ts";
import { ohms, volts } from "../../domain/units.ts";
import type { DeviceFile, LinkFile } from "./circuits-schema.ts";
import { lanesOf } from "./lanes-schema.ts";
import type { PoolFile } from "./pool-schema.ts";

/** The file's words about devices, supplies and links, as the rules that circuits are laid from. */
export function toRules(file: PoolFile): FacilityRules {
  const lanes = lanesOf(file.lanes);
  return {
    lanes,
    ends: file.ends,
    devices: file.devices.map((one) => deviceRule(one, lanes)),
    supplies: supplyRules(file),
    links: file.chain.map((one, i) => linkRule(one, i, file)),
  };
}

function deviceRule(given: DeviceFile, lanes: FacilityRules["lanes"]): DeviceRule {
  if (typeof given === "string") {
    return { name: given, lanes, end: null, stackedOn: null, supply: null };
  }
  return {
    name: given.name,
    lanes:
      given.lanes === undefined ? lanes : given.lanes === "none" ? "none" : lanesOf(given.lanes),
    end: given.end ?? null,
    stackedOn: given.stacked_on ?? null,
    supply: given.supply ?? null,
  };
}

function supplyRules({ supply, supplies }: PoolFile): readonly SupplyRule[] {
  const given = supplies ?? [{ name: "timer", lanes: undefined, ...supply }];
  return given.map((one) => ({
    name: one.name,
    emf: volts(one.emf),
    emfSd: volts(one.emf_sd),
    sourceOhms: one.source_ohms === "unknown" ? null : ohms(one.source_ohms),
    lanes: one.lanes === undefined ? null : lanesOf(one.lanes),
  }));
}

const selection = (given: LinkFile["only"]): Selection | null =>
  given === undefined
    ? null
    : {
        lanes: given.lanes === undefined ? null : lanesOf(given.lanes),
        devices: given.devices ?? null,
        ends: given.ends ?? null,
      };

function linkRule(given: LinkFile, index: number, file: PoolFile): LinkRule {
  const kind = classOf(given, index);
  return {
    point: given.point,
    connector: given.connector,
    class: kind,
    sharedBy: typeof given.shared_by === "string" ? given.shared_by : "lanes",
    groups: typeof given.shared_by === "string" ? [] : given.shared_by.map(lanesOf),
    wireOhms: given.wire === undefined ? ohms(given.wire_ohms ?? 0) : copperResistance(given.wire),
    priors: priorsOf(given, kind, file.model),
    wet: given.wet ?? false,
    only: selection(given.only),
    except: selection(given.except),
  };
}

/**
 * A link's class where the file does not say it: the one that its point or connector is named after;
 * else a pod where one device alone passes, a plate where water may lie, the outlet at the timer's
 * end, and a harness anywhere else.
 */
function classOf(given: LinkFile, index: number): ConnectorClass {
  if (given.class !== undefined) return given.class;
  const words = `${given.connector} ${given.point}`.toLowerCase();
  const named = (["outlet", "harness", "plate", "pod"] as const).find((one) => words.includes(one));
  if (named !== undefined) return named;
  if (given.shared_by === "device") return "pod";
  if (given.wet === true) return "plate";
  return index === 0 ? "outlet" : "harness";
}

/** The link's own figures, else those of the model's section, else its class's. */
function priorsOf(given: LinkFile, kind: ConnectorClass, model: PoolFile["model"]): ContactPriors {
  const standard = assumedPriors(kind);
  const alone = given.shared_by === "device";
  const plain = model === "plain";
  const intermittent = plain ? 0 : (model.intermittent ?? standard.intermittent);
  const cableBreak = plain ? 0 : model.cable_break;
  return {
    contaminated: alone ? 0 : (given.contaminated ?? standard.contaminated),
    fouled: given.fouled ?? standard.fouled,
    fouledIfContaminated: given.fouled_if_contaminated ?? standard.fouledIfContaminated,
    intermittent: given.intermittent ?? intermittent,
    cableBreak: given.cable_break ?? cableBreak,
  };
}

/** P(open) + P(fouled) + P(intermittent) of a link in its worse body state. */
export function faultSum(
  priors: ContactPriors,
  openPerFouled: number = assumed.openPerFouled.value,
) {
  const fouled = Math.max(priors.fouled, priors.fouledIfContaminated);
  return fouled * (1 + openPerFouled) + priors.cableBreak + priors.intermittent;
}
