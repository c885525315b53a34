import { assumedLinks } from "../../domain/assumed.ts";
import type { NewPool } from "../../intake/pool/pool-file-text.ts";
import { UnusableInput } from "../command.ts";

/** What a person says of a pool, as typed; an empty answer says nothing. */
export interface Answers {
  readonly name: string;
  readonly lanes: string;
  readonly devices: string;
  readonly ends: string;
  readonly farDevices: string;
  readonly starts: string;
  readonly groups: string;
  readonly load: string;
  readonly off: string;
  readonly readjust: string;
  readonly soak: string;
}

/** Parts between commas; blanks around them, and empty ones, are nothing. */
const listed = (text: string): string[] =>
  text
    .split(",")
    .map((part) => part.trim())
    .filter((part) => part !== "");

const RANGE = /^(\d{1,4})\s*-\s*(\d{1,4})$/;

/** `8` is a count; `0-9`, `1,2,3,10` and `dive,1` are the lanes themselves. */
export function lanesOf(text: string): NewPool["lanes"] {
  const parts = listed(text);
  const only = parts.length === 1 ? parts[0]! : "";
  if (/^\d+$/.test(only)) return Number(only);
  return laneNames(parts);
}

/** Lanes by name, ranges written out; what is no range of a pool's lanes stays as it is. */
const laneNames = (parts: readonly string[]): (number | string)[] =>
  parts.flatMap((part) => {
    const range = RANGE.exec(part);
    if (range === null) return [/^\d+$/.test(part) ? Number(part) : part];
    const [from, to] = [Number(range[1]), Number(range[2])];
    const step = from <= to ? 1 : -1;
    const count = Math.min(Math.abs(to - from) + 1, 1000);
    return Array.from({ length: count }, (_, i) => from + step * i);
  });

/** Words by which people say that they don't know. */
const isUnknown = (text: string): boolean =>
  /^(|\?|-|no|none|unknown|don'?t know|i don'?t know|not known)$/i.test(text.trim());

/** `1000`, `10M`, `1.5k`, `10 Mohm`: ohms; null where nobody knows. */
export function loadOf(text: string): number | null {
  if (isUnknown(text)) return null;
  const found = /^(\d+(?:[.,]\d+)?)\s*([kKmM]?)\s*(?:ohms?|Ω)?$/.exec(text.trim());
  const unit = { "": 1, k: 1e3, m: 1e6 }[found?.[2]?.toLowerCase() ?? ""] ?? 1;
  const value = found === null ? Number.NaN : Number(found[1]!.replace(",", ".")) * unit;
  if (value > 0 && value <= 1e9) return value;
  throw new UnusableInput(`the meter's load is '${text}': ohms such as 1000 or 10M, or unknown`);
}

/** `90-120`, `100`: seconds from the earliest to the latest; null where nobody knows. */
export function offOf(text: string): readonly [number, number] | null {
  if (isUnknown(text)) return null;
  const found = /^(\d{1,5})(?:\s*(?:-|to|,)\s*(\d{1,5}))?\s*s?$/.exec(text.trim());
  const [from, to] = [Number(found?.[1]), Number(found?.[2] ?? found?.[1])];
  if (found !== null && from <= to && to <= 86_400) return [from, to];
  throw new UnusableInput(
    `the switch-off time is '${text}': seconds such as 100 or 90-110, or unknown`,
  );
}

/** `4`, `2.5`, `4 C`: a number above 0, its unit's letter apart; null where nobody knows. */
function figureOf(text: string, what: string): number | null {
  if (isUnknown(text)) return null;
  const found = /^(\d+(?:[.,]\d+)?)\s*(?:°?\s*[CF]|min(?:utes)?)?$/i.exec(text.trim());
  if (found !== null) return Number(found[1]!.replace(",", "."));
  throw new UnusableInput(`${what} is '${text}': a number such as 4 or 2.5, or unknown`);
}

/** What the pads' own leaflet says, where somebody looked. */
function meetOf(said: Answers): NewPool["meet"] {
  const degrees = figureOf(said.readjust, "the change of the water");
  const soak = figureOf(said.soak, "the time in the water");
  if (degrees === null && soak === null) return undefined;
  const isFahrenheit = /F\s*$/i.test(said.readjust);
  return {
    ...(isFahrenheit ? { temperature_unit: "F" } : {}),
    ...(degrees === null ? {} : { readjust_degrees: degrees }),
    ...(soak === null ? {} : { soak_minutes: soak }),
  };
}

/** The links, where harness groups or starts make them other than the default. */
function chainOf(starts: readonly string[], groups: string): NewPool["chain"] {
  const shared = groups
    .split(/[;/]/)
    .map((group) => laneNames(listed(group)))
    .filter((group) => group.length > 0);
  if (starts.length === 0 && shared.length === 0) return undefined;
  const lanesOnly = starts.length > 0 ? { except: { devices: starts } } : {};
  const links = assumedLinks.map((one) => ({
    ...one,
    ...(one.point === "harness" && shared.length > 0 ? { shared_by: shared } : {}),
    ...(one.shared_by === "device" ? lanesOnly : {}),
  }));
  if (starts.length === 0) return links;
  const plug = { point: "start", connector: "start plug", class: "pod", shared_by: "device" };
  return [...links, { ...plug, only: { devices: starts } }];
}

/** A pool file's own keys, from what a person said. */
export function newPool(said: Answers): NewPool {
  const ends = listed(said.ends);
  const starts = listed(said.starts);
  const loadOhms = loadOf(said.load);
  const off = offOf(said.off);
  const chain = chainOf(starts, said.groups);
  const meet = meetOf(said);
  if (ends.length < 2 && said.farDevices !== "")
    throw new UnusableInput("devices at the far end need the two ends' names: --ends start,turn");
  const meter = {
    name: "deck",
    load_ohms: loadOhms ?? "unknown",
    ...(off === null ? {} : { off_after: off }),
  };
  return {
    pool: said.name,
    lanes: lanesOf(said.lanes),
    ...(ends.length > 0 ? { ends } : {}),
    devices: [
      ...listed(said.devices),
      ...listed(said.farDevices).map((name) => ({ name, end: ends[1]! })),
      ...starts.map((name) => ({ name, lanes: "none" })),
    ],
    ...(loadOhms === null && off === null ? {} : { meters: [meter] }),
    ...(chain === undefined ? {} : { chain }),
    ...(meet === undefined ? {} : { meet }),
  };
}
