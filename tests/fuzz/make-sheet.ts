import { below, pick, type Random } from "./random.ts";

/** The five sheets, and what their headings are. */
export const headings = {
  readings: ["lane", "device", "end", "point", "volts", "taken_at", "walk", "id", "by", "note"],
  wide: ["lane", "device", "timer", "harness", "plate (mV)", "pod", "taken_at", "note"],
  work: ["done_at", "lane", "device", "point", "action", "minutes", "cost", "by", "note"],
  touches: ["lane", "device", "kind", "tried", "registered", "taken_at", "by"],
  pads: ["taken_at", "water_c", "water_f", "strokes", "lane", "soaked_minutes", "note"],
  meter: ["ohms", "volts", "point", "by"],
} as const;

export type SheetName = keyof typeof headings;
export const sheetNames = Object.keys(headings) as SheetName[];

/** Values that mean something in some column. */
const plausible = [
  ...["1", "2", "8", "L3", "lane 4", "5.", "none", "touchpad", "button-1", "timer", "pod", "plate"],
  ...[
    "4.91",
    "4,91",
    "4910 mV",
    "0",
    "0.00",
    "5",
    "-1",
    "4.9 V",
    "4\u2009910",
    "12",
    "0x14",
    "1e3",
  ],
  ...[
    "cleaned",
    "replaced",
    "undone",
    "fingertip",
    "open-hand",
    "10",
    "9",
    "26,5",
    "78",
    "47",
    "1k",
  ],
  ...[
    "2026-05-02",
    "2026-05-02T10:00",
    "24/08/2026",
    "03/04/2026",
    "21.9.2026 08:01",
    "3 May 2026",
  ],
];

/** Values that a reader trips over. */
const nasty = [
  ...[
    "",
    " ",
    "\u00a0",
    "'",
    "''=1",
    "=1+1",
    "@x",
    "-",
    "+",
    "constructor",
    "__proto__",
    "toString",
  ],
  ...['"', '""', '"a', 'a"', '"a""b"', '"a\nb"', '"a\r\nb,c,d,e"', "a,b", "a;b", "a\tb", "\\", "/"],
  ...[
    "\0",
    "\u0007",
    "\u000b",
    "\u001b[31m",
    "\u0085",
    "\u2028",
    "\ufeff",
    "\ufffd",
    "\u202e",
    "\ud800",
  ],
  ...["Дорожка", "赤", "🏊", "é".repeat(50), "9".repeat(400), "x".repeat(3000), "1,000,000", "NaN"],
  ...["Infinity", "1e400", "00000001", "٣", "４.９１", "31/31/2026", "2026-13-40", "24:61", "true"],
];

const cell = (random: Random): string => pick(random, random() < 0.75 ? plausible : nasty);

function quotedMaybe(random: Random, text: string): string {
  const roll = random();
  if (roll < 0.06) return `"${text.replaceAll('"', '""')}"`;
  if (roll < 0.07) return `"${text}`;
  return text;
}

/** Headings as people and accidents write them. */
function headerOf(random: Random, sheet: SheetName): string[] {
  const names: string[] = [...headings[sheet]];
  const roll = random();
  if (roll < 0.1) names.push(pick(random, names));
  if (roll > 0.1 && roll < 0.2) names.push("extra", "reason");
  if (roll > 0.2 && roll < 0.25) names.splice(below(random, names.length), 1);
  if (roll > 0.25 && roll < 0.3) names.push(...Array(below(random, 40)).fill("note"));
  if (roll > 0.3 && roll < 0.35) names.push(cell(random));
  if (random() < 0.2) names.sort(() => random() - 0.5);
  return random() < 0.2 ? names.map((name) => name.toUpperCase().replaceAll("_", " ")) : names;
}

/** One sheet as text: titles, headings, rows of any length, line ends of any kind. */
export function sheetText(random: Random, sheet: SheetName): string {
  const delimiter = pick(random, [",", ",", ",", ";", "\t"]);
  const end = (): string => pick(random, mixed ? ["\n", "\r\n", "\r", "\n\n"] : [usual]);
  const mixed = random() < 0.2;
  const usual = pick(random, ["\n", "\r\n", "\r"]);
  const header = headerOf(random, sheet);
  const titles =
    random() < 0.15 ? Array.from({ length: below(random, 4) }, () => cell(random)) : [];
  const rows = Array.from({ length: below(random, 12) }, () => {
    const length = random() < 0.8 ? header.length : below(random, header.length + 4);
    return Array.from({ length }, () => quotedMaybe(random, cell(random))).join(delimiter);
  });
  const repeated = random() < 0.1 ? [...rows, ...rows] : rows;
  const lines = [...titles, header.join(delimiter), ...repeated];
  let text = "";
  for (const line of lines) text += line + end();
  if (random() < 0.2) text = text.slice(0, below(random, text.length + 1));
  return random() < 0.1 ? `\ufeff${text}` : text;
}

/** The same as a file: UTF-8, UTF-16, windows-1252 from some byte on, or with bytes changed. */
export function sheetBytes(random: Random, text: string): Uint8Array {
  const roll = random();
  if (roll < 0.1) return new Uint8Array(Buffer.from(`\ufeff${text}`, "utf16le"));
  if (roll < 0.2) return new Uint8Array(Buffer.from(text, "latin1"));
  const bytes = new Uint8Array(Buffer.from(text, "utf8"));
  if (roll < 0.35)
    for (let i = 0; i < 3 && bytes.length > 0; i++)
      bytes[below(random, bytes.length)] = below(random, 256);
  return bytes;
}
