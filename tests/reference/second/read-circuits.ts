import type {
  FacilityText,
  Law,
  LinkText,
  ModelText,
  RowText,
  SupplyText,
} from "./facility-text.ts";

/** The model's numbers where the pool file is silent (its sections 3 to 5). */
const usual: ModelText = {
  misread: 0.003,
  tails: 0.05,
  noise_log_sd: 0.3,
  drift_sd: 0.02,
  blank: 0.0025,
  blank_written: 0.1,
  blank_stays: 0.5,
  open_per_fouled: 0.1,
  cable_break: 0.002,
  intermittent: 0.005,
  bad_share: 0.3,
  stuck: 0.005,
  leaking: 0.01,
  wet_leak: 0.003,
};

/** The first model as a special case: every later term off. */
const plain: ModelText = {
  ...usual,
  misread: 0.01,
  tails: 0,
  noise_log_sd: 0,
  drift_sd: 0,
  blank: 0.02,
  cable_break: 0,
  intermittent: 0,
  stuck: 0,
  leaking: 0,
  wet_leak: 0,
};

const onePart = [{ share: 1, median_ohms: 60, log_sd: 1.2 }];
const twoParts = [
  { share: 0.6, median_ohms: 60, log_sd: 1.2 },
  { share: 0.4, median_ohms: 10_000, log_sd: 3 },
];

/** Chances of a connector's class: body contaminated, contact fouled when clean, when not. */
const classes: Readonly<Record<string, readonly [number, number, number]>> = {
  outlet: [0.02, 0.01, 0.7],
  harness: [0.04, 0.01, 0.7],
  plate: [0.08, 0.02, 0.7],
  pod: [0, 0.12, 0],
};

/** At a pod a contact comes and goes more often than elsewhere. */
const intermittentAtPod = 0.02;

/** One contact on a circuit's way. */
export interface Contact {
  readonly point: string;
  readonly connector: string;
  /** Who shares the connector: the same text for all contacts in one connector. */
  readonly owner: string;
  readonly lane: number | null;
  readonly device: string | null;
  readonly wire: number;
  readonly wet: boolean;
  /** Chance that the body is contaminated; null where the connector has no body. */
  readonly contaminated: number | null;
  /** Chance of a fouled contact in a clean and in a contaminated body. */
  readonly fouled: readonly [number, number];
  readonly intermittent: number;
}

/** A reading with everything that bears on it. */
export interface Taken {
  /** Row of the sheet, from 0. */
  readonly row: number;
  /** Index of its point on its circuit's way. */
  readonly at: number;
  readonly volts: number;
  readonly meter: number;
  readonly state: "rest" | "pressed" | "moved";
  /** Place in the order of the walk, -1/2 to 1/2; 0 where the walk has one reading. */
  readonly when: number;
}

/** A circuit that somebody read. */
export interface Circuit {
  readonly lane: number;
  readonly device: string;
  readonly supply: number;
  readonly path: readonly Contact[];
  readonly readings: readonly Taken[];
  /** Total path resistance above which the circuit is under its limit [ohm]; null: no limit. */
  readonly limitOhms: number | null;
}

/** Everything about a walk, with every default filled in. */
export interface Walk {
  readonly facility: FacilityText;
  readonly rows: readonly RowText[];
  /** Row indices in the order of time. */
  readonly order: readonly number[];
  readonly plainModel: boolean;
  readonly model: ModelText;
  readonly sound: Law;
  readonly fouled: readonly (Law & { readonly share: number })[];
  readonly circuits: readonly Circuit[];
}

const passes = ({ only, except, shared_by }: LinkText, lane: number, device: string): boolean => {
  if (only?.lanes && !only.lanes.includes(lane)) return false;
  if (only?.devices && !only.devices.includes(device)) return false;
  if (except?.lanes?.includes(lane) || except?.devices?.includes(device)) return false;
  return typeof shared_by === "string" || shared_by.some((group) => group.includes(lane));
};

const contactOf = (
  link: LinkText,
  lane: number,
  device: string,
  model: ModelText,
  isPlain: boolean,
): Contact => {
  const { shared_by: by } = link;
  const group = typeof by === "string" ? null : by.find((lanes) => lanes.includes(lane))!;
  const whose =
    by === "pool"
      ? "all"
      : by === "lane"
        ? lane
        : by === "device"
          ? `${lane}/${device}`
          : `${group}`;
  const [contaminated, fouled, inContaminated] = classes[link.class ?? ""] ?? [0, 0, 0];
  const often = link.class === "pod" && !isPlain ? intermittentAtPod : model.intermittent;
  return {
    point: link.point,
    connector: link.connector,
    owner: `${link.connector}@${link.point}:${whose}`,
    lane: by === "lane" || by === "device" ? lane : null,
    device: by === "device" ? device : null,
    wire: link.wire_ohms,
    wet: link.wet ?? false,
    contaminated: by === "device" ? null : (link.contaminated ?? contaminated),
    fouled: [link.fouled ?? fouled, link.fouled_if_contaminated ?? inContaminated],
    intermittent: link.intermittent ?? often,
  };
};

const limitOf = (facility: FacilityText, supply: SupplyText): number | null => {
  if ("ohms" in facility.limit) return facility.limit.ohms;
  const { volts, meter } = facility.limit;
  const load = facility.meters.find(({ name }) => name === meter)!.load_ohms;
  return load === "unknown" || load > 1e5 ? null : load * (supply.emf / volts - 1);
};

const inOrder = (rows: readonly RowText[]): number[] => {
  const indices = rows.map((_, i) => i);
  if (rows.some(({ taken_at }) => taken_at === undefined)) return indices;
  return indices.sort(
    (a, b) => Date.parse(rows[a]!.taken_at!) - Date.parse(rows[b]!.taken_at!) || a - b,
  );
};

/** Puts a pool file and a sheet together: the circuits that were read, each with its own way. */
export const readWalk = (facility: FacilityText, rows: readonly RowText[]): Walk => {
  const isPlain = facility.model === "plain";
  const given = facility.model === "plain" ? {} : facility.model;
  const model = { ...(isPlain ? plain : usual), ...given };
  const order = inOrder(rows);
  const names = [...new Set(rows.map(({ lane, device }) => JSON.stringify([lane, device])))].sort();
  const circuits = names.map((name): Circuit => {
    const [lane, device] = JSON.parse(name) as [number, string];
    const supply = Math.max(
      0,
      facility.supplies.findIndex(({ lanes }) => lanes?.includes(lane)),
    );
    const path = facility.chain
      .filter((link) => passes(link, lane, device))
      .map((link) => contactOf(link, lane, device, model, isPlain));
    const readings = rows.flatMap((row, i): Taken[] =>
      row.lane === lane && row.device === device
        ? [
            {
              row: i,
              at: path.findIndex(({ point }) => point === row.point),
              volts: row.volts,
              meter: facility.meters.findIndex(({ name: m }) => m === row.meter),
              state: row.state ?? "rest",
              when: rows.length === 1 ? 0 : order.indexOf(i) / (rows.length - 1) - 0.5,
            },
          ]
        : [],
    );
    return {
      lane,
      device,
      supply,
      path,
      readings,
      limitOhms: limitOf(facility, facility.supplies[supply]!),
    };
  });
  return {
    facility,
    rows,
    order,
    plainModel: isPlain,
    model,
    sound: facility.contact?.sound ?? { median_ohms: 0.2, log_sd: 0.8 },
    fouled: facility.contact?.fouled ?? (isPlain ? onePart : twoParts),
    circuits,
  };
};
