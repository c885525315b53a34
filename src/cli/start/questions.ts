import type { Answers } from "./new-pool.ts";

/** One question that a person is asked: what, why or where to find it, and what an empty line says. */
interface Question {
  readonly key: keyof Answers;
  readonly asks: string;
  readonly where: readonly string[];
}

/** In the order in which they are asked. */
export const questions: readonly Question[] = [
  { key: "name", asks: "What is the facility called?", where: ["It heads every answer."] },
  {
    key: "lanes",
    asks: "Which lanes?",
    where: ["How many (8), or their numbers (0-9, or 1,2,3,10)."],
  },
  {
    key: "devices",
    asks: "Which devices does each lane have?",
    where: ["The one that times the lane first, with commas: touchpad,button-1,button-2"],
  },
  {
    key: "ends",
    asks: "Are there devices at both ends of a lane? Then name the ends.",
    where: ["Such as: start,turn. Empty: at one end only."],
  },
  {
    key: "farDevices",
    asks: "Which of the devices stand at the far end too?",
    where: ["Such as: touchpad. Asked only where there are two ends."],
  },
  {
    key: "starts",
    asks: "Has the start a line of its own?",
    where: ["What belongs to no lane, such as: start. Empty: none."],
  },
  {
    key: "groups",
    asks: "Do several lanes share a harness connector at the timer?",
    where: ["Follow the cables: 1-4;5-8 is two harnesses of four lanes. Empty: none do."],
  },
  {
    key: "load",
    asks: "How many ohms does the meter put across the line it reads?",
    where: [
      "It stands in the meter's data sheet as input resistance or load; most",
      "multimeters have 10M. It decides what the meter can see at all. Empty if you",
      "don't know: readings at a few known resistors tell (dropwise meter --help).",
    ],
  },
  {
    key: "off",
    asks: "After how many seconds does the meter switch itself off?",
    where: [
      "Time it once: switch it on and wait, such as 100 or 90-110. A display that is",
      "off is easily written down as 0. Empty: it stays on, or nobody knows.",
    ],
  },
  {
    key: "readjust",
    asks: "After what change of the water, in degrees, are the pads adjusted anew?",
    where: ["The pads' own instructions say it. Empty: nobody knows, or no pad holds air."],
  },
  {
    key: "soak",
    asks: "How many minutes does a pad lie in the water before it is adjusted?",
    where: ["The pads' own instructions say it. Empty: nobody knows."],
  },
];

/**
 * Asks one question after the other, and the same once more where its answer can't be. `standard` is
 * what an empty line says; lines end where the person stops, and what is left then has its standard.
 *
 * @param fault what is wrong with what was said so far; null: nothing
 */
export async function askAll(
  standard: Answers,
  lines: AsyncIterator<string>,
  say: (text: string) => void,
  fault: (said: Answers) => string | null,
): Promise<Answers> {
  let said = standard;
  for (const { key, asks, where } of questions) {
    if (key === "farDevices" && !said.ends.includes(",")) continue;
    const empty = standard[key] === "" ? "" : ` [${standard[key]}]`;
    say(`${asks}\n${where.map((line) => `  ${line}\n`).join("")}${empty}> `);
    for (;;) {
      const line = await lines.next();
      if (line.done === true) return said;
      const now = line.value.trim() === "" ? said : { ...said, [key]: line.value.trim() };
      const wrong = fault(now);
      if (wrong === null) {
        said = now;
        break;
      }
      say(`${wrong}\n> `);
    }
  }
  return said;
}
