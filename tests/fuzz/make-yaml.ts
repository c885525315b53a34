import { stringify } from "yaml";
import { below, pick, type Random } from "./random.ts";

/** A value as YAML has it. */
type Node = string | number | boolean | null | Node[] | { [key: string]: Node };

/** The YAML files, each with whole ones to begin with: every key that people write stands in one. */
export const wholeFiles = {
  pool: [
    { pool: "Kestrel Bay", lanes: 8, devices: ["touchpad"] },
    {
      pool: "Kestrel Bay",
      lanes: "0-9",
      ends: ["start", "turn"],
      devices: [
        "touchpad",
        { name: "button-1", lanes: [1, 2] },
        { name: "platform", stacked_on: "button-1", lanes: [1] },
        { name: "start", lanes: "none" },
      ],
      supplies: [{ name: "A", emf: 5, emf_sd: 0.05, source_ohms: "unknown" }],
      meters: [{ name: "deck", load_ohms: 1000, resolution: 0.01, off_after: [90, 120] }],
      limit: { volts: 4.8, meter: "deck" },
      timer_input: { low_max: 0.8, high_min: 2 },
      lane_needs: { first: "touchpad", fall_back: ["button-1"], at_least: 1 },
    },
    {
      pool: "Kestrel Bay",
      lanes: [1, 2, 3, 4],
      devices: ["touchpad"],
      chain: [
        { point: "timer", connector: "timer outlet", shared_by: "pool", wire_ohms: 0.1 },
        {
          point: "harness",
          connector: "plug",
          shared_by: [
            [1, 2],
            [3, 4],
          ],
          class: "harness",
        },
        { point: "plate", connector: "wall plate", shared_by: "lane", wire_ohms: 2, wet: true },
        { point: "pod", connector: "pod terminals", shared_by: "device", fouled: 0.02 },
      ],
      contact: {
        sound: { median_ohms: 0.2, log_sd: 0.8 },
        fouled: [
          { share: 0.6, median_ohms: 60, log_sd: 1.2 },
          { share: 0.4, median_ohms: 1e4, log_sd: 3 },
        ],
      },
      model: { misread: 0.003, tails: 0.05, blank: 0.0025, cable_break: 0.002, stuck: 0.005 },
      limit: { ohms: 41 },
    },
    { pool: "Kestrel Bay", model: "plain", lanes: 2, devices: ["touchpad"], limit_volts: 4.8 },
  ],
  facility: [
    {
      facility: "Kestrel Bay",
      letterhead: ["Kestrel Bay", "1 Shore Road"],
      to: "the board",
      from: "the deck",
      date: "2026-05-02",
      currency: "EUR",
      decision_needed_by: "2026-06-01",
      schedule: [{ what: "order", when: "in May" }, { what: "fit" }],
      risks: ["The shop is closed in August."],
      paper: "A4",
    },
    {},
  ],
} satisfies Record<string, readonly Node[]>;

export type YamlName = keyof typeof wholeFiles;
export const yamlNames = Object.keys(wholeFiles) as YamlName[];

/** What stands where something else was meant. */
const values: readonly Node[] = [
  ...["", " ", "none", "unknown", "all", "plain", "1-8", "8-1", "0-999999", "touchpad", "no", "~"],
  ...[
    "constructor",
    "__proto__",
    "toString",
    "\u0007",
    "\u202e",
    "\ud800",
    "Дорожка",
    "x".repeat(500),
  ],
  ...[0, -1, 1, 2, 0.5, 1e308, -0, 1e-320, 100000, 2 ** 53, Number.NaN, Infinity, -Infinity],
  ...[true, false, null],
  ...[[], [[]], [1, 1], [1, [2]], ["a", null], {}, { name: "a" }, { a: { b: [{}] } }],
];
const keys = [
  "name",
  "lanes",
  "pool",
  "model",
  "costs",
  "meet",
  "constructor",
  "__proto__",
  "",
  "<<",
];

/** A tree with one thing in it changed: a value put in, left out, doubled, or a key added. */
function changed(random: Random, node: Node): Node {
  if (random() < 0.25 || node === null || typeof node !== "object") return pick(random, values);
  if (Array.isArray(node)) {
    if (node.length === 0) return [pick(random, values)];
    const at = below(random, node.length);
    if (random() < 0.2) return node.filter((_, i) => i !== at);
    if (random() < 0.2) return [...node, ...node];
    return node.map((one, i) => (i === at ? changed(random, one) : one));
  }
  const entries = Object.entries(node);
  const at = below(random, entries.length + 1);
  if (at === entries.length) entries.push([pick(random, keys), pick(random, values)]);
  else if (random() < 0.15) entries.splice(at, 1);
  else entries[at] = [entries[at]![0], changed(random, entries[at]![1])];
  return Object.fromEntries(entries);
}

/** Pieces of YAML that a reader trips over, put in anywhere. */
const pieces = [
  ...["&a ", "*a", "*b", "<<: *a\n", "!!binary ", "!!set ", "!x ", "---\n", "...\n", "%YAML 1.1\n"],
  ...[
    "|\n",
    ">-\n",
    "\t",
    "\n",
    "\r",
    "# ",
    ": ",
    "- ",
    "? ",
    "[",
    "]",
    "{",
    "}",
    ",",
    '"',
    "'",
    "@",
    "`",
  ],
  ...[
    "\0",
    "\ufeff",
    "\u2028",
    "pool: again\n",
    "[".repeat(300),
    "{a: ".repeat(300),
    "0o17",
    "0x1F",
    "1_000",
  ],
];

/** One YAML file as text. */
export function yamlText(random: Random, name: YamlName): string {
  let tree: Node = pick(random, wholeFiles[name] as readonly Node[]);
  for (let left = below(random, 4); left > 0; left--) tree = changed(random, tree);
  let text = random() < 0.2 ? JSON.stringify(tree, null, below(random, 3)) : stringify(tree);
  const hits = random() < 0.4 ? 1 + below(random, 3) : 0;
  for (let left = hits; left > 0; left--) {
    const at = below(random, text.length + 1);
    const cut = random() < 0.3 ? below(random, 6) : 0;
    text = text.slice(0, at) + pick(random, pieces) + text.slice(at + cut);
  }
  return random() < 0.1 ? text.slice(0, below(random, text.length + 1)) : text;
}
