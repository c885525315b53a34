import { copperResistance } from "../domain/copper-wire.ts";
import type { Pool } from "../domain/pool.ts";
import { fault, type InputFault, ok, type Result } from "../domain/result.ts";
import { ohms, volts } from "../domain/units.ts";
import { toCosts } from "./costs-schema.ts";
import { toMeetSettings } from "./meet-schema.ts";
import { parseYaml } from "./parse-yaml.ts";
import { poolRules } from "./pool-rules.ts";
import { type PoolFile, poolSchema } from "./pool-schema.ts";
import { schemaFaults } from "./schema-faults.ts";

/** How faults name this file. */
const poolFile = { name: "pool file", least: "at least pool, lanes and devices" };

function toLink(link: PoolFile["chain"][number]): Pool["chain"][number] {
  const alone = link.shared_by === "device";
  return {
    point: link.point,
    connector: link.connector,
    sharedBy: link.shared_by,
    wireOhms: link.wire === undefined ? ohms(link.wire_ohms ?? 0) : copperResistance(link.wire),
    contaminated: alone ? 0 : link.contaminated,
    fouled: link.fouled,
    fouledIfContaminated: link.fouled_if_contaminated,
  };
}

function toMeter(meter: PoolFile["meters"][number]): Pool["meters"][number] {
  return {
    name: meter.name,
    loadOhms: meter.load_ohms === "unknown" ? null : ohms(meter.load_ohms),
    resolution: meter.resolution === undefined ? null : volts(meter.resolution),
    noise: volts(meter.noise),
    offAfter: meter.off_after,
  };
}

/** The file's words to the domain's. */
function toPool(file: PoolFile): Pool {
  const { supply, contact, timer_input: input } = file;
  const chain = file.chain.map(toLink);
  const lognormal = (of: PoolFile["contact"]["sound"]) => ({
    medianOhms: ohms(of.median_ohms),
    logSd: of.log_sd,
  });
  return {
    name: file.pool,
    lanes:
      typeof file.lanes === "number"
        ? Array.from({ length: file.lanes }, (_, i) => i + 1)
        : file.lanes,
    devices: file.devices,
    supply: {
      emf: volts(supply.emf),
      emfSd: volts(supply.emf_sd),
      sourceOhms: ohms(supply.source_ohms),
    },
    meters: file.meters.map(toMeter),
    chain,
    costs: toCosts(file.costs, chain),
    contact: { sound: lognormal(contact.sound), fouled: lognormal(contact.fouled) },
    misread: file.misread,
    limitVolts: volts(file.limit_volts),
    timerInput:
      input === undefined ? null : { lowMax: volts(input.low_max), highMin: volts(input.high_min) },
    ...(file.meet === undefined ? {} : { meet: toMeetSettings(file.meet) }),
  };
}

/**
 * Reads a pool file, YAML or JSON, every default filled in.
 *
 * All faults are collected, each with its key's path, what was found and what is allowed.
 * `file` is the name that faults carry. Nothing throws.
 */
export function readPool(text: string, file: string): Result<Pool, readonly InputFault[]> {
  const plain = parseYaml(text, file, poolFile);
  if (!plain.ok) return plain;
  const parsed = poolSchema.safeParse(plain.value, { reportInput: true });
  if (!parsed.success) return fault(schemaFaults(parsed.error, file));
  const broken = poolRules(parsed.data);
  if (broken.length > 0) return fault(broken.map((rule) => ({ file, ...rule })));
  return ok(toPool(parsed.data));
}
