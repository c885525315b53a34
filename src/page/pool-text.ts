import { stringify } from "yaml";

/** What the set-up form asks; all else of a pool file has its default. */
export interface PoolForm {
  readonly name: string;
  /** A number of lanes, a range such as 0-9, or their names between commas. */
  readonly lanes: string;
  /** Names between commas; the first is the one that sheets mean by default. */
  readonly devices: string;
  readonly meter: string;
  /** Load resistance [ohm], or `unknown`. */
  readonly load: string;
  /** Seconds after which the meter switches itself off, earliest and latest; "" where unknown. */
  readonly offFrom: string;
  readonly offTo: string;
  /** The facility's own limit at the last point [V]. */
  readonly limit: string;
}

const isWhole = (text: string): boolean => /^\d+$/.test(text);

/** A number where it is one, with comma or point; else the text, for the reader to object to. */
function numberOr(text: string): number | string {
  const plain = text.trim().replace(",", ".");
  return plain !== "" && Number.isFinite(Number(plain)) ? Number(plain) : text.trim();
}

const names = (text: string): string[] =>
  text
    .split(",")
    .map((one) => one.trim())
    .filter((one) => one !== "");

/** As the pool file takes them: how many, a range as it stands, or the lanes themselves. */
function lanesOf(text: string): number | string | readonly (number | string)[] {
  if (isWhole(text)) return Number(text);
  if (/^\d+\s*-\s*\d+$/.test(text)) return text;
  return names(text).map((lane) => (isWhole(lane) ? Number(lane) : lane));
}

/** The pool file that a filled-in form stands for; it is judged by the reader of pool files. */
export function poolText(form: PoolForm): string {
  const meter = form.meter.trim();
  const off = [form.offFrom, form.offTo].filter((text) => text.trim() !== "").map(numberOr);
  const file = {
    pool: form.name.trim(),
    lanes: lanesOf(form.lanes.trim()),
    devices: names(form.devices),
    meters: [
      {
        name: meter,
        load_ohms: numberOr(form.load),
        resolution: 0.01,
        ...(off.length === 0 ? {} : { off_after: off }),
      },
    ],
    limit: { volts: numberOr(form.limit), meter },
  };
  return stringify(file);
}
