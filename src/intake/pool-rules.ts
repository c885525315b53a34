import type { InputFault } from "../domain/result.ts";
import { costsRules } from "./costs-schema.ts";
import type { PoolFile } from "./pool-schema.ts";

/** Most connectors with a body state that the exact diagnosis sums over: 2^8 combinations. */
const mostShared = 8;

/** A rule that spans several keys, broken: where, and what to do. */
type Broken = Omit<InputFault, "file">;

/** Entries that repeat an earlier one, case and blanks aside. */
function repeats(names: readonly (string | number)[], place: string, key: string): Broken[] {
  const plain = names.map((name) =>
    String(name)
      .toLowerCase()
      .replaceAll(/[\s_-]+/g, "-"),
  );
  return names.flatMap((name, i) =>
    plain.indexOf(plain[i]!) === i
      ? []
      : [{ place: `${place}[${i}]${key}`, message: `'${name}' occurs twice; each only once` }],
  );
}

function chainRules(chain: PoolFile["chain"]): Broken[] {
  const broken = chain.flatMap((link, i) => {
    const place = `chain[${i}]`;
    const faults: Broken[] = [];
    if (link.wire_ohms !== undefined && link.wire !== undefined) {
      faults.push({ place, message: "found both wire_ohms and wire; allowed: one of the two" });
    }
    if (link.shared_by === "device" && link.contaminated > 0) {
      faults.push({
        place: `${place}.contaminated`,
        message:
          `found ${link.contaminated}; a connector of one device has no body to share, ` +
          "so leave contaminated out here and say all in fouled",
      });
    }
    return faults;
  });
  const shared = chain.filter((link) => link.shared_by !== "device").length;
  if (shared > mostShared) {
    broken.push({
      place: "chain",
      message:
        `found ${shared} connectors shared by pool or lane; allowed: at most ${mostShared}, ` +
        "as the exact diagnosis sums over every combination of their bodies",
    });
  }
  return broken;
}

/** Every rule of the pool file that no single key's schema can hold. */
export function poolRules(file: PoolFile): Broken[] {
  const { supply, contact, timer_input: input } = file;
  const broken = [
    ...(typeof file.lanes === "number" ? [] : repeats(file.lanes, "lanes", "")),
    ...repeats(file.devices, "devices", ""),
    ...repeats(
      file.meters.map((meter) => meter.name),
      "meters",
      ".name",
    ),
    ...repeats(
      file.chain.map((link) => link.point),
      "chain",
      ".point",
    ),
    ...chainRules(file.chain),
    ...costsRules(
      file.costs,
      file.chain.map((link) => link.point),
      typeof file.lanes === "number" ? file.lanes : file.lanes.length,
    ),
  ];
  file.meters.forEach(({ off_after: [earliest, latest] }, i) => {
    if (earliest <= latest) return;
    const message = `found [${earliest}, ${latest}]; allowed: the earlier number of seconds first`;
    broken.push({ place: `meters[${i}].off_after`, message });
  });
  if (contact.fouled.median_ohms <= contact.sound.median_ohms) {
    const message =
      `found ${contact.fouled.median_ohms}; allowed: more ohms than ` +
      `contact.sound.median_ohms, which is ${contact.sound.median_ohms}`;
    broken.push({ place: "contact.fouled.median_ohms", message });
  }
  if (file.limit_volts > supply.emf) {
    const message = `found ${file.limit_volts}; allowed: at most supply.emf, which is ${supply.emf}`;
    broken.push({ place: "limit_volts", message });
  }
  if (input !== undefined && !(input.low_max < input.high_min && input.high_min < supply.emf)) {
    const message =
      `found low_max ${input.low_max} and high_min ${input.high_min}; ` +
      `allowed: low_max < high_min < supply.emf, which is ${supply.emf}`;
    broken.push({ place: "timer_input", message });
  }
  return broken;
}
