/**
 * Invented pools of a league, each a folder's two files: decks drawn by the studies' own generator, which
 * shares no code with the program, each walked on three Saturdays. Everything follows from a seed.
 */
import { seededRandom } from "../../study/random.ts";
import { drawDeck } from "../../study/worlds/deck.ts";
import { type Layout, plain } from "../../study/worlds/layout.ts";
import { asModelled } from "../../study/worlds/nature.ts";
import { takeReadings } from "../../study/worlds/readings.ts";
import { slip } from "../../study/worlds/sheet-mishaps.ts";
import { poolText, readingsText } from "../../study/worlds/sheets.ts";
import { worldsOf } from "../../study/worlds/worlds.ts";

/** A pool's folder: its two files. */
export interface MadeFolder {
  /** The folder's name, and the pool's. */
  readonly name: string;
  readonly files: { readonly "pool.yaml": string; readonly "readings.csv": string };
}

const saturdays = ["2026-04-18", "2026-04-25", "2026-05-02"];
const laneCounts = [4, 6, 6, 8, 8, 8, 10];
const deviceLists = [["touchpad"], ["touchpad", "button-1"], ["touchpad", "button-1", "button-2"]];

/** How decks of the league are: as the pool file says, or with one thing that it does not say. */
const kinds = ["as-modelled", "faults-treble", "wet-end", "supply-drift", "transposed"];
const worlds = worldsOf(asModelled, 0).filter(({ name }) => kinds.includes(name));

function layoutOf(lanesTotal: number, devices: readonly string[]): Layout {
  const lanes = Array.from({ length: lanesTotal }, (_, index) => index + 1);
  const circuits = lanes.flatMap((lane) => devices.map((device) => ({ lane, device })));
  return { ...plain, lanes, circuits, devicesText: `[${devices.join(", ")}]` };
}

/** The pool of this number, from 1; the same one every time. */
export function madeFolder(number: number): MadeFolder {
  const { uniform } = seededRandom(1_000_003 * number);
  const pick = <Item>(items: readonly Item[]): Item => items[Math.floor(uniform() * items.length)]!;
  const layout = layoutOf(pick(laneCounts), pick(deviceLists));
  const world = pick(worlds);
  const nature = world.nature;
  const told = { ...world.told, timed: true };
  const deck = drawDeck(layout, nature, uniform);
  const walks = saturdays.map((day) => {
    const { taken } = slip(deck, nature, takeReadings(deck, nature, uniform), uniform);
    const [head = "", ...rows] = readingsText(taken, told).trimEnd().split("\n");
    return { head, rows: rows.map((row) => row.replace("drawn", "").replace("2026-05-02", day)) };
  });
  const name = `pool-${String(number).padStart(4, "0")}`;
  const readings = [walks[0]!.head, ...walks.flatMap(({ rows }) => rows)];
  return {
    name,
    files: {
      "pool.yaml": poolText(layout, told).replace("pool: Drawn", `pool: ${name}`),
      "readings.csv": `${readings.join("\n")}\n`,
    },
  };
}

/** The same folder for the first version's model: thousands are answered in minutes. */
export const plainly = ({ name, files }: MadeFolder): MadeFolder => ({
  name,
  files: { ...files, "pool.yaml": `${files["pool.yaml"]}model: plain\n` },
});
