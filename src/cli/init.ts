import { join } from "node:path";
import { createInterface } from "node:readline";
import { poolFileText } from "../intake/pool/pool-file-text.ts";
import { poolJsonSchema } from "../intake/pool/pool-schema.ts";
import { readPool } from "../intake/pool/read-pool.ts";
import { textOf } from "../report/wrap-text.ts";
import { sentence } from "../words/figure-words.ts";
import { type Io, type Register, UnusableInput } from "./command.ts";
import { exists, faultSentence } from "./files.ts";
import { helpText } from "./help-text.ts";
import { blankSheet, sampleWalk } from "./start/first-sheets.ts";
import { type Answers, newPool } from "./start/new-pool.ts";
import { askAll } from "./start/questions.ts";
import { writeFiles } from "./store/file-set.ts";

interface Options extends Partial<Answers> {
  readonly dir: string;
  readonly ask?: boolean;
  readonly force?: boolean;
}

const example = `
Asks for all of this where nothing but --dir is said, on a terminal or with --ask; an empty line is
"don't know". Writes pool.yaml (every key with its default and one line of why), pool.schema.json
(editors complete and check the file by it), readings.csv (one row a circuit, one column a point:
fill it in, or put sheets of your own into a folder named readings), and sample/ with an invented
walk of this pool to try things on.

Examples:
  $ dropwise init --ask --dir asked
  $ dropwise init --dir mypool --lanes 8 --devices touchpad,button-1
  $ dropwise init --dir kestrel --lanes 0-9 --groups "0-4;5-9" --load 1000
`;

/** What an answer is where nobody says anything. */
const standard: Answers = {
  name: "Our pool",
  lanes: "8",
  devices: "touchpad",
  ends: "",
  farDevices: "",
  starts: "",
  groups: "",
  load: "",
  off: "",
  readjust: "",
  soak: "",
};

/** `dropwise init`: a pool's folder, to start from. */
export const registerInit: Register = (program, io) => {
  program
    .command("init")
    .description("Start a pool: its folder, with a pool file, an empty sheet and a filled example.")
    .option("--dir <folder>", "where to write", ".")
    .option("--name <name>", `the facility's name (default: ${standard.name})`)
    .option("--lanes <lanes>", `how many, or which: 0-9 or 1,2,10 (default: ${standard.lanes})`)
    .option("--devices <names>", `of a lane, the main one first (default: ${standard.devices})`)
    .option("--ends <names>", "the two ends, where devices stand at both: start,turn")
    .option("--far-devices <names>", "the devices that the far end has too")
    .option("--starts <names>", "devices of no lane, each on a line of its own: start")
    .option("--groups <lanes>", "lanes that share a harness: 1-4;5-8 (default: none do)")
    .option("--load <ohms>", "what the meter puts across the line (1000, 10M, unknown)")
    .option("--off <seconds>", "when the meter switches itself off: 100, 90-110, unknown")
    .option("--readjust <degrees>", "the change of the water after which pads are adjusted anew")
    .option("--soak <minutes>", "how long a pad lies in the water before it is adjusted")
    .option("--ask", "ask for what is not said, also where this is no terminal")
    .option("--force", "overwrite what is there already")
    .addHelpText("after", helpText(example))
    .action((options: Options) => init(options, io));
};

async function init(options: Options, io: Io): Promise<void> {
  const { dir, force = false } = options;
  const given = newPool(await answers(options, io));
  const pool = readPool(JSON.stringify(given), "dropwise init");
  if (!pool.ok) throw new UnusableInput(faultSentence(pool.error));
  const files = [
    { name: "pool.yaml", content: poolFileText(given, "./pool.schema.json") },
    { name: "pool.schema.json", content: `${JSON.stringify(poolJsonSchema(), null, 2)}\n` },
    { name: "readings.csv", content: blankSheet(pool.value) },
    { name: "sample/walk.csv", content: sampleWalk(pool.value) },
  ];
  for (const file of force ? [] : files) {
    const path = join(dir, file.name);
    if (await exists(path)) {
      throw new UnusableInput(`${path} is there already; --force overwrites it`);
    }
  }
  writeFiles(dir, files);
  io.out(textOf([`Written into ${dir}: ${files.map(({ name }) => name).join(", ")}`]));
  io.out(nextSteps(dir, pool.value.meters[0]?.loadOhms === null));
}

/** What no pool can be made of, in lines of a terminal; null where one can. */
function faultOf(said: Answers): string | null {
  try {
    const pool = readPool(JSON.stringify(newPool(said)), "dropwise init");
    if (pool.ok) return null;
    const faults = pool.error.map(({ message }) => `  ${sentence(message)}.`);
    return textOf(faults).trimEnd();
  } catch (error) {
    if (error instanceof UnusableInput) return textOf([`  ${sentence(error.message)}.`]).trimEnd();
    throw error;
  }
}

/** What was said as options, then what is asked. */
async function answers(options: Options, io: Io): Promise<Answers> {
  const keys = Object.keys(standard) as (keyof Answers)[];
  const said = Object.fromEntries(keys.map((key) => [key, options[key] ?? standard[key]]));
  const isSilent = keys.every((key) => options[key] === undefined);
  const asked = options.ask ?? (isSilent && process.stdin.isTTY === true);
  if (!asked) return said as unknown as Answers;
  const lines = createInterface({ input: process.stdin });
  try {
    return await askAll(said as unknown as Answers, lines[Symbol.asyncIterator](), io.out, faultOf);
  } finally {
    lines.close();
  }
}

function nextSteps(dir: string, isLoadUnknown: boolean): string {
  const there = dir === "." ? "" : `Go there:      cd ${dir}\n`;
  const load =
    "The meter's load is not known yet: nothing will be called sound until it is.\n" +
    "  It goes into pool.yaml as load_ohms; dropwise meter --help says how to get it.\n";
  return (
    `${isLoadUnknown ? load : ""}${there}Try it:        dropwise check sample/walk.csv\n` +
    "Your own:      dropwise import FILE, then dropwise check\n"
  );
}
