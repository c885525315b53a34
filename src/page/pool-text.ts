import { stringify } from "yaml";

/** What the set-up form asks; all else of a pool file has its default. */
export interface PoolForm {
  readonly name: string;
  /** A number of lanes, or their names between commas. */
  readonly lanes: string;
  /** Names between commas; the first is the one that sheets mean by default. */
  readonly devices: string;
  readonly meter: string;
  /** Load resistance [ohm], or `unknown`. */
  readonly load: string;
  /** Seconds after which the meter switches itself off, earliest and latest. */
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

/** The pool file that a filled-in form stands for; it is judged by the reader of pool files. */
export function poolText(form: PoolForm): string {
  const lanes = form.lanes.trim();
  const file = {
    pool: form.name.trim(),
    lanes: isWhole(lanes)
      ? Number(lanes)
      : names(lanes).map((lane) => (isWhole(lane) ? Number(lane) : lane)),
    devices: names(form.devices),
    meters: [
      {
        name: form.meter.trim(),
        load_ohms: numberOr(form.load),
        resolution: 0.01,
        off_after: [numberOr(form.offFrom), numberOr(form.offTo)],
      },
    ],
    limit_volts: numberOr(form.limit),
  };
  return stringify(file);
}
