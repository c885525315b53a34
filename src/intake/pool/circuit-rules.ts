import { assumed } from "../../domain/assumed.ts";
import type { Lane } from "../../domain/place.ts";
import { type Broken, repeats } from "./broken-rule.ts";
import type { LinkFile } from "./circuits-schema.ts";
import { lanesOf, tooManyLanes } from "./lanes-schema.ts";
import type { PoolFile } from "./pool-schema.ts";
import { faultSum, toRules } from "./to-rules.ts";

/** Rules about lanes, ends, devices, supplies and links that span several keys. */
export function circuitRules(file: PoolFile): readonly Broken[] {
  if (tooManyLanes(file.lanes)) {
    return [{ place: "lanes", message: `found ${String(file.lanes)}; allowed: at most 99 lanes` }];
  }
  const lanes = lanesOf(file.lanes);
  return [
    ...(typeof file.lanes === "number" ? [] : repeats(lanes, "lanes", "")),
    ...nameRules(file, lanes),
    ...file.chain.flatMap((link, i) => linkRules(link, i)),
    ...priorRules(file),
  ];
}

function linkRules(link: LinkFile, i: number): readonly Broken[] {
  const place = `chain[${i}]`;
  const broken: Broken[] = [];
  if (link.wire_ohms !== undefined && link.wire !== undefined) {
    broken.push({ place, message: "found both wire_ohms and wire; allowed: one of the two" });
  }
  if (link.shared_by === "device" && (link.contaminated ?? 0) > 0) {
    broken.push({
      place: `${place}.contaminated`,
      message:
        `found ${link.contaminated}; a connector of one device has no body to share, ` +
        "so leave contaminated out here and say all in fouled",
    });
  }
  if (/^plug(-\d+)?$/.test(link.point) || link.point === "device") {
    const message = `'${link.point}' is kept for a device and its plug; call the point otherwise`;
    broken.push({ place: `${place}.point`, message });
  }
  if (typeof link.shared_by !== "string") {
    const all = link.shared_by.flatMap(lanesOf);
    broken.push(...repeats(all, `${place}.shared_by`, ""));
  }
  return broken;
}

function priorRules(file: PoolFile): readonly Broken[] {
  const { model } = file;
  const openPerFouled = model === "plain" ? assumed.openPerFouled.value : model.open_per_fouled;
  return toRules(file).links.flatMap(({ priors }, i) => {
    const sum = faultSum(priors, openPerFouled);
    if (sum <= 1) return [];
    const message =
      `P(fouled), P(open), P(intermittent) and P(cable break) add to ${Number(sum.toFixed(4))}; ` +
      "allowed: at most 1";
    return [{ place: `chain[${i}]`, message }];
  });
}

/** Names of lanes, ends, devices and supplies that the file uses without having them. */
function nameRules(file: PoolFile, lanes: readonly Lane[]): readonly Broken[] {
  const devices = file.devices.map((one) => (typeof one === "string" ? one : one.name));
  const unknown = (
    given: readonly (string | number)[] | undefined,
    known: readonly (string | number)[],
    place: string,
    what: string,
  ): readonly Broken[] =>
    (given ?? [])
      .filter((one) => !known.includes(one))
      .map((one) => ({
        place,
        message: `'${one}' is none of the ${what}; allowed: ${known.join(", ") || "none"}`,
      }));
  const listed = (given: string | readonly Lane[] | undefined): readonly Lane[] =>
    given === undefined ? [] : lanesOf(given);
  const supplies = (file.supplies ?? []).map(({ name }) => name);
  return [
    ...file.devices.flatMap((one, i) => {
      if (typeof one === "string") return [];
      const at = `devices[${i}]`;
      return [
        ...(one.lanes === "none"
          ? []
          : unknown(listed(one.lanes), lanes, `${at}.lanes`, "pool's lanes")),
        ...unknown(one.end === undefined ? [] : [one.end], file.ends, `${at}.end`, "pool's ends"),
        ...unknown(
          one.stacked_on === undefined ? [] : [one.stacked_on],
          devices,
          `${at}.stacked_on`,
          "devices",
        ),
        ...unknown(
          one.supply === undefined ? [] : [one.supply],
          supplies,
          `${at}.supply`,
          "supplies",
        ),
      ];
    }),
    ...(file.supplies ?? []).flatMap((one, i) =>
      unknown(listed(one.lanes), lanes, `supplies[${i}].lanes`, "pool's lanes"),
    ),
    ...file.chain.flatMap((link, i) => [
      ...(typeof link.shared_by === "string"
        ? []
        : unknown(
            link.shared_by.flatMap(lanesOf),
            [...lanes, ...devices],
            `chain[${i}].shared_by`,
            "pool's lanes",
          )),
      ...(["only", "except"] as const).flatMap((key) => [
        ...unknown(listed(link[key]?.lanes), lanes, `chain[${i}].${key}.lanes`, "pool's lanes"),
        ...unknown(link[key]?.devices, devices, `chain[${i}].${key}.devices`, "devices"),
        ...unknown(link[key]?.ends, file.ends, `chain[${i}].${key}.ends`, "pool's ends"),
      ]),
    ]),
    ...(file.lane_needs === undefined
      ? []
      : unknown(
          [file.lane_needs.first, ...file.lane_needs.fall_back],
          devices,
          "lane_needs",
          "devices",
        )),
  ];
}
