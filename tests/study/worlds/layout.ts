/** The names of a facility's parts, as this study draws them. */
export type LinkClass = "outlet" | "harness" | "plate" | "pod";

/** A link: a length of cable and the connector at its end. */
export interface Link {
  readonly point: string;
  readonly connector: string;
  readonly kind: LinkClass;
  /** Copper, out and back [ohm]. */
  readonly wire: number;
  /** Water gets in. */
  readonly wet: boolean;
  /** Whose circuits share the body: groups of lanes, or each device alone. */
  readonly shared: "pool" | "lane" | "device" | readonly (readonly number[])[];
  readonly passes: (circuit: Circuit) => boolean;
  /** The link's own keys in the pool file. */
  readonly text: string;
}

/** One conductor pair to one device; the start's line belongs to no lane. */
export interface Circuit {
  readonly lane: number | null;
  readonly device: string;
}

export interface Layout {
  readonly name: string;
  readonly lanes: readonly number[];
  readonly circuits: readonly Circuit[];
  readonly links: readonly Link[];
  /** The `devices:` part of the pool file. */
  readonly devicesText: string;
}

export const circuitName = ({ lane, device }: Circuit): string => `${lane ?? "none"} ${device}`;

/** One name for a connector, made of where it is and whom it serves. */
export const connectorName = (
  point: string,
  lanes: readonly (number | string)[],
  device: string | null,
): string => `${point} ${lanes.join("+")}${device === null ? "" : ` ${device}`}`;

/** The connector that a circuit passes at a link. */
export function connectorAt(layout: Layout, link: Link, { lane, device }: Circuit): string {
  if (link.shared === "device") {
    return connectorName(link.point, lane === null ? [] : [lane], device);
  }
  if (link.shared === "pool") return connectorName(link.point, layout.lanes, null);
  if (link.shared === "lane") return connectorName(link.point, [lane!], null);
  return connectorName(link.point, link.shared.find((group) => group.includes(lane!))!, null);
}

/** The links that a circuit passes, from the timer out. */
export const pathOf = ({ links }: Layout, circuit: Circuit): readonly Link[] =>
  links.filter(({ passes }) => passes(circuit));

const everybody = (): boolean => true;
const ofALane = ({ lane }: Circuit): boolean => lane !== null;
const eight = [1, 2, 3, 4, 5, 6, 7, 8];

const outlet: Link = {
  ...{ point: "timer", connector: "timer outlet", kind: "outlet", wire: 0.1, wet: false },
  ...{ shared: "pool", passes: everybody, text: "shared_by: pool, class: outlet" },
};
const harness: Link = {
  ...{ point: "harness", connector: "harness connector", kind: "harness", wire: 0.6, wet: false },
  ...{ shared: "lane", passes: ofALane, text: "shared_by: lane, class: harness" },
};
const plate: Link = {
  ...{ point: "plate", connector: "plate connector", kind: "plate", wire: 2, wet: true },
  ...{ shared: "lane", passes: ofALane, text: "shared_by: lane, class: plate, wet: true" },
};
const pod: Link = {
  ...{ point: "pod", connector: "pod terminals", kind: "pod", wire: 0.3, wet: true },
  ...{ shared: "device", passes: ofALane, text: "shared_by: device, class: pod, wet: true" },
};

/** Eight lanes of three devices on the four default links: the pool file's short form. */
export const plain: Layout = {
  name: "plain",
  lanes: eight,
  circuits: eight.flatMap((lane) =>
    ["touchpad", "button-1", "button-2"].map((device) => ({ lane, device })),
  ),
  links: [outlet, harness, plate, pod],
  devicesText: "[touchpad, button-1, button-2]",
};

const groups = [
  [1, 2, 3, 4],
  [5, 6, 7, 8],
];
const wall = [1, 2, 3, 4, 5];
const onWall = ({ lane }: Circuit): boolean => lane !== null && wall.includes(lane);
const onDeck = ({ lane }: Circuit): boolean => lane !== null && !wall.includes(lane);
const start = { lane: null, device: "start" };

/**
 * Two harnesses of four lanes, wall plates on five lanes and deck plates on three, one button
 * missing on two lanes and two on one, and the start's line, which has a plug of its own.
 */
export const grouped: Layout = {
  name: "grouped",
  lanes: eight,
  circuits: [
    ...eight.flatMap((lane) =>
      ["touchpad", "button-1", "button-2"]
        .filter((device) => device !== "button-2" || ![3, 6, 7].includes(lane))
        .filter((device) => device !== "button-1" || lane !== 7)
        .map((device) => ({ lane, device })),
    ),
    start,
  ],
  links: [
    outlet,
    {
      ...{ ...harness, shared: groups },
      text: "shared_by: [[1, 2, 3, 4], [5, 6, 7, 8]], class: harness, except: { devices: [start] }",
    },
    {
      ...{ ...plate, connector: "wall plate", passes: onWall },
      text: `${plate.text}, only: { lanes: [1, 2, 3, 4, 5] }`,
    },
    {
      ...{ ...plate, connector: "deck plate", kind: "plate", wire: 1.2, passes: onDeck },
      text: `${plate.text}, only: { lanes: [6, 7, 8] }`,
    },
    { ...pod, text: `${pod.text}, except: { devices: [start] }` },
    {
      ...{ ...pod, point: "start plug", connector: "start plug", wire: 1, wet: false },
      ...{ passes: ({ lane }: Circuit) => lane === null },
      text: "shared_by: device, class: pod, only: { devices: [start] }",
    },
  ],
  devicesText: [
    "",
    "  - touchpad",
    "  - { name: button-1, lanes: [1, 2, 3, 4, 5, 6, 8] }",
    "  - { name: button-2, lanes: [1, 2, 4, 5, 8] }",
    "  - { name: start, lanes: none }",
  ].join("\n"),
};
