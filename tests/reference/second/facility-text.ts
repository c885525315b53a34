import { stringify } from "yaml";

/** A log-normal law as the pool file writes it. */
export interface Law {
  readonly median_ohms: number;
  readonly log_sd: number;
}

/** A link of the chain, in the pool file's words. */
export interface LinkText {
  readonly point: string;
  readonly connector: string;
  readonly class?: "outlet" | "harness" | "plate" | "pod";
  /** `pool`, `lane`, `device`, or groups of lanes. */
  readonly shared_by: "pool" | "lane" | "device" | readonly (readonly number[])[];
  readonly wire_ohms: number;
  readonly wet?: boolean;
  readonly contaminated?: number;
  readonly fouled?: number;
  readonly fouled_if_contaminated?: number;
  readonly intermittent?: number;
  readonly only?: { readonly lanes?: readonly number[]; readonly devices?: readonly string[] };
  readonly except?: { readonly lanes?: readonly number[]; readonly devices?: readonly string[] };
}

/** Every number of the model that the pool file may set, under its own key. */
export interface ModelText {
  readonly misread: number;
  readonly tails: number;
  readonly noise_log_sd: number;
  readonly drift_sd: number;
  readonly blank: number;
  readonly blank_written: number;
  readonly blank_stays: number;
  readonly open_per_fouled: number;
  readonly cable_break: number;
  readonly intermittent: number;
  readonly bad_share: number;
  readonly stuck: number;
  readonly leaking: number;
  readonly wet_leak: number;
}

export interface SupplyText {
  readonly name: string;
  readonly emf: number;
  readonly emf_sd: number;
  readonly source_ohms: number | "unknown";
  readonly lanes?: readonly number[];
}

export interface MeterText {
  readonly name: string;
  readonly load_ohms: number | "unknown";
  readonly resolution: number;
  readonly noise: number;
  readonly off_after?: readonly [number, number];
}

/** A whole pool file: what the program under test reads, and all that the reference knows. */
export interface FacilityText {
  readonly pool: string;
  readonly lanes: readonly number[];
  readonly devices: readonly (
    | string
    | { readonly name: string; readonly lanes: readonly number[] }
  )[];
  readonly supplies: readonly SupplyText[];
  readonly meters: readonly MeterText[];
  readonly chain: readonly LinkText[];
  readonly contact?: {
    readonly sound: Law;
    readonly fouled: readonly (Law & { readonly share: number })[];
  };
  readonly model?: Partial<ModelText> | "plain";
  readonly limit: { readonly ohms: number } | { readonly volts: number; readonly meter: string };
}

/** One row of the sheet. */
export interface RowText {
  readonly lane: number;
  readonly device: string;
  readonly point: string;
  readonly volts: number;
  readonly meter: string;
  /** ISO 8601, or none. */
  readonly taken_at?: string;
  readonly meter_on?: true;
  readonly state?: "rest" | "pressed" | "moved";
}

/** The pool file's text. */
export const poolText = (facility: FacilityText): string => stringify(facility);

/** Digits behind the point that a display of this step shows. */
const digits = (step: number): number => Math.max(0, Math.round(-Math.log10(step)));

/** The sheet's text, each value with the digits of its meter's display. */
export const sheetText = (facility: FacilityText, rows: readonly RowText[]): string => {
  const columns = ["lane", "device", "point", "volts", "meter", "taken_at", "meter_on", "state"];
  const lines = rows.map((row) => {
    const meter = facility.meters.find(({ name }) => name === row.meter)!;
    return [
      row.lane,
      row.device,
      row.point,
      row.volts.toFixed(digits(meter.resolution)),
      row.meter,
      row.taken_at ?? "",
      row.meter_on ? "yes" : "",
      row.state ?? "rest",
    ].join(",");
  });
  return `${[columns.join(","), ...lines].join("\n")}\n`;
};
