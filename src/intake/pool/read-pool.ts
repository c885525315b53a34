import { assumed } from "../../domain/assumed.ts";
import type { FacilityRules, LaidCircuits } from "../../domain/lay-circuits.ts";
import { layCircuits } from "../../domain/lay-circuits.ts";
import type { Limit, MixturePart, Pool } from "../../domain/pool.ts";
import { fault, type InputFault, ok, type Result } from "../../domain/result.ts";
import { plugPoint } from "../../domain/stacked-plug.ts";
import { ohms, volts } from "../../domain/units.ts";
import { parseYaml } from "../parse-yaml.ts";
import { schemaFaults } from "../schema-faults.ts";
import { clashWords } from "./clash-words.ts";
import { toCosts } from "./costs-schema.ts";
import { toMeetSettings } from "./meet-schema.ts";
import { toModelTerms } from "./model-schema.ts";
import { plainForm } from "./plain-form.ts";
import { poolRules } from "./pool-rules.ts";
import { type PoolFile, poolSchema } from "./pool-schema.ts";
import { toRules } from "./to-rules.ts";

/** How faults name this file. */
const poolFile = { name: "pool file", least: "at least pool, lanes and devices" };

const toMeter = (meter: PoolFile["meters"][number]): Pool["meters"][number] => ({
  name: meter.name,
  loadOhms: meter.load_ohms === "unknown" ? null : ohms(meter.load_ohms),
  resolution: meter.resolution === undefined ? null : volts(meter.resolution),
  noise: volts(meter.noise),
  offAfter: meter.off_after ?? null,
});

const toPart = (part: { share?: number; median_ohms: number; log_sd: number }): MixturePart => ({
  share: part.share ?? 1,
  medianOhms: ohms(part.median_ohms),
  logSd: part.log_sd,
});

function toLimit({ limit, limit_volts: old, meters }: PoolFile): Limit {
  if (limit.ohms !== undefined) return { ohms: ohms(limit.ohms) };
  const least = old ?? limit.volts ?? assumed.limitVolts.value;
  return { volts: volts(least), meter: limit.meter ?? meters[0]!.name };
}

/** The file's words to the domain's. */
function toPool(file: PoolFile, rules: FacilityRules, laid: LaidCircuits): Pool {
  const { contact, timer_input: input, lane_needs: needs } = file;
  const { circuits, connectors, points } = laid;
  const stacked = [...new Set(circuits.map(({ devices }) => devices.length - 1))];
  const plugs = Array.from({ length: Math.max(0, ...stacked) }, (_, n) => ({
    point: plugPoint(n),
    sharedBy: "device" as const,
  }));
  return {
    name: file.pool,
    lanes: rules.lanes,
    ends: file.ends,
    devices: [...new Set(rules.devices.map(({ name }) => name))],
    supplies: rules.supplies.map(({ lanes: _, ...supply }) => supply),
    meters: file.meters.map(toMeter),
    links: rules.links.map(({ groups: _, only: __, except: ___, ...link }) => link),
    points,
    circuits,
    connectors,
    contact: {
      sound: { medianOhms: ohms(contact.sound.median_ohms), logSd: contact.sound.log_sd },
      fouled: (Array.isArray(contact.fouled) ? contact.fouled : [contact.fouled]).map(toPart),
    },
    model: toModelTerms(file.model, file.misread),
    limit: toLimit(file),
    timerInput:
      input === undefined ? null : { lowMax: volts(input.low_max), highMin: volts(input.high_min) },
    laneNeeds:
      needs === undefined
        ? null
        : { first: needs.first, fallBack: needs.fall_back, atLeast: needs.at_least },
    costs: toCosts(file.costs, [...rules.links, ...plugs]),
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
  const written = parseYaml(text, file, poolFile);
  if (!written.ok) return written;
  const parsed = poolSchema.safeParse(plainForm(written.value), { reportInput: true });
  if (!parsed.success) return fault(schemaFaults(parsed.error, file));
  const broken = poolRules(parsed.data, written.value);
  if (broken.length > 0) return fault(broken.map((rule) => ({ file, ...rule })));
  const rules = toRules(parsed.data);
  const laid = layCircuits(rules);
  if (laid.clashes.length > 0) {
    return fault(laid.clashes.map((clash) => ({ file, ...clashWords(clash) })));
  }
  return ok(toPool(parsed.data, rules, laid));
}
