import type { FacilityText, LinkText, MeterText, ModelText, RowText } from "./facility-text.ts";

/** One walk to be answered by brute force. */
export interface SecondCase {
  readonly name: string;
  readonly facility: FacilityText;
  readonly rows: readonly RowText[];
}

/** Every term that may be switched off is off; what is left is series path, misread and states. */
export const bare: ModelText = {
  misread: 0.003,
  tails: 0,
  noise_log_sd: 0,
  drift_sd: 0,
  blank: 0,
  blank_written: 0.1,
  blank_stays: 0.5,
  open_per_fouled: 0.1,
  cable_break: 0,
  intermittent: 0,
  bad_share: 0.3,
  stuck: 0,
  leaking: 0,
  wet_leak: 0,
};

const numbers = (contaminated: number, fouled: number) =>
  contaminated === 0
    ? { fouled, intermittent: 0 }
    : { contaminated, fouled, fouled_if_contaminated: 0.7, intermittent: 0 };

/** Three of the usual links, every number written out, nothing that comes and goes. */
export const harness: LinkText = {
  point: "harness",
  connector: "harness connector",
  shared_by: "lane",
  wire_ohms: 0.6,
  ...numbers(0.04, 0.01),
};
export const plate: LinkText = {
  point: "plate",
  connector: "wall plate",
  shared_by: "lane",
  wire_ohms: 2,
  wet: true,
  ...numbers(0.08, 0.02),
};
export const pod: LinkText = {
  point: "pod",
  connector: "pod terminals",
  shared_by: "device",
  wire_ohms: 0.3,
  wet: true,
  ...numbers(0, 0.12),
};

/** The same links by class alone: the model's own defaults. */
export const classed: readonly LinkText[] = (
  [
    ["timer", "timer outlet", "outlet", "pool", 0.1, false],
    ["harness", "harness connector", "harness", "lane", 0.6, false],
    ["plate", "wall plate", "plate", "lane", 2, true],
    ["pod", "pod terminals", "pod", "device", 0.3, true],
  ] as const
).map(([point, connector, kind, shared_by, wire_ohms, wet]) => ({
  point,
  connector,
  class: kind,
  shared_by,
  wire_ohms,
  wet,
}));

export const meter = (name: string, load_ohms: number | "unknown", more = {}): MeterText => ({
  name,
  load_ohms,
  resolution: 0.01,
  noise: 0.02,
  ...more,
});

const oneFouled = [{ share: 1, median_ohms: 60, log_sd: 1.2 }];

/** A small facility with bare terms; `changed` puts terms and parts back. */
export const facilityOf = (
  lanes: readonly number[],
  devices: readonly string[],
  chain: readonly LinkText[],
  terms: Partial<ModelText> = {},
  changed: Partial<FacilityText> = {},
): FacilityText => ({
  pool: "reference",
  lanes,
  devices,
  supplies: [{ name: "A", emf: 5, emf_sd: 0.05, source_ohms: 0 }],
  meters: [meter("deck", 1000)],
  chain,
  contact: { sound: { median_ohms: 0.2, log_sd: 0.8 }, fouled: oneFouled },
  model: { ...bare, ...terms },
  limit: { ohms: 41 },
  ...changed,
});

/** A facility with the model's defaults everywhere. */
export const usualFacility = (
  lanes: readonly number[],
  devices: readonly string[],
  changed: Partial<FacilityText> = {},
): FacilityText => ({
  pool: "reference",
  lanes,
  devices,
  supplies: [{ name: "A", emf: 5, emf_sd: 0.05, source_ohms: "unknown" }],
  meters: [meter("deck", 1000)],
  chain: classed,
  limit: { volts: 4.8, meter: "deck" },
  ...changed,
});

/** The model's two kinds of fouled contact. */
export const heavyTailed: Partial<FacilityText> = {
  contact: {
    sound: { median_ohms: 0.2, log_sd: 0.8 },
    fouled: [
      { share: 0.6, median_ohms: 60, log_sd: 1.2 },
      { share: 0.4, median_ohms: 10_000, log_sd: 3 },
    ],
  },
};

type Place = readonly [lane: number, device: string];

/** Readings of one circuit: point and volts in turn, each with what `more` says. */
export const along = (
  [lane, device]: Place,
  values: readonly (readonly [point: string, volts: number, more?: Partial<RowText>])[],
  more: Partial<RowText> = {},
): RowText[] =>
  values.map(([point, volts, own]) => ({
    lane,
    device,
    point,
    volts,
    meter: "deck",
    ...more,
    ...own,
  }));

/** Puts times on rows: seconds after eight in the morning. */
export const timed = (rows: readonly RowText[], seconds: readonly number[]): RowText[] =>
  rows.map((row, i) => {
    const s = seconds[i]!;
    const two = (n: number) => String(n).padStart(2, "0");
    const clock = `${two(8 + Math.floor(s / 3600))}:${two(Math.floor(s / 60) % 60)}:${two(s % 60)}`;
    return { ...row, taken_at: `2026-05-02T${clock}Z` };
  });

/** Circuits that the cases read. */
export const pad = [1, "pad"] as const;
export const button = [1, "button"] as const;
export const next = [2, "pad"] as const;
/** Short chains. */
export const two = [plate, pod];
export const three = [harness, plate, pod];

const offAfter = { off_after: [90, 120] } as const;
/** A meter that switches itself off. */
export const clocked: Partial<FacilityText> = { meters: [meter("deck", 1000, offAfter)] };
/** A supply behind so many ohms. */
export const behind = (ohms: number | "unknown"): Partial<FacilityText> => ({
  supplies: [{ name: "A", emf: 5, emf_sd: 0.05, source_ohms: ohms }],
});
