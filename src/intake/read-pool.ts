import { LineCounter, parseDocument } from "yaml";
import { copperResistance } from "../domain/copper-wire.ts";
import type { Pool } from "../domain/pool.ts";
import { fault, type InputFault, ok, type Result } from "../domain/result.ts";
import { ohms, volts } from "../domain/units.ts";
import { poolRules } from "./pool-rules.ts";
import { type PoolFile, poolSchema } from "./pool-schema.ts";
import { schemaFaults } from "./schema-faults.ts";

/** Longest pool file that is read [characters]. */
const longestFile = 5_000_000;

/** How often a YAML anchor may be used before it counts as a bomb. */
const mostAliases = 50;

/** YAML (JSON is a subset of it) to plain values. */
function parseYaml(text: string, file: string): Result<unknown, readonly InputFault[]> {
  const one = (message: string, place = "") => fault([{ file, place, message }]);
  if (text.length > longestFile) return one("is over 5 MB, which no pool file is");
  if (text.includes("\0")) return one("is not text, so it can't be a pool file");
  if (text.trim() === "") return one("is empty; a pool file has at least pool, lanes and devices");
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines, prettyErrors: false });
  const [error] = document.errors;
  if (error !== undefined) {
    const { line, col } = lines.linePos(error.pos[0]);
    const place = `line ${line}, column ${col}`;
    if (error.code === "RESOURCE_EXHAUSTION") return one("is nested too deep", place);
    return one(`is not YAML: ${error.message.replaceAll(/\s+/g, " ")}`, place);
  }
  try {
    return ok(document.toJS({ maxAliasCount: mostAliases }));
  } catch (thrown) {
    // toJS throws a ReferenceError for an alias bomb or a dangling alias, and nothing else.
    if (!(thrown instanceof ReferenceError)) throw thrown;
    return one(`is not usable YAML: ${thrown.message}`);
  }
}

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
    chain: file.chain.map(toLink),
    contact: { sound: lognormal(contact.sound), fouled: lognormal(contact.fouled) },
    misread: file.misread,
    limitVolts: volts(file.limit_volts),
    timerInput:
      input === undefined ? null : { lowMax: volts(input.low_max), highMin: volts(input.high_min) },
  };
}

/**
 * Reads a pool file, YAML or JSON, every default filled in.
 *
 * All faults are collected, each with its key's path, what was found and what is allowed.
 * `file` is the name that faults carry. Nothing throws.
 */
export function readPool(text: string, file: string): Result<Pool, readonly InputFault[]> {
  const plain = parseYaml(text.replace(/^\uFEFF/, ""), file);
  if (!plain.ok) return plain;
  const parsed = poolSchema.safeParse(plain.value, { reportInput: true });
  if (!parsed.success) return fault(schemaFaults(parsed.error, file));
  const broken = poolRules(parsed.data);
  if (broken.length > 0) return fault(broken.map((rule) => ({ file, ...rule })));
  return ok(toPool(parsed.data));
}
