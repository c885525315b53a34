/**
 * Simulation studies, seeded: the same command prints the same figures on every machine.
 *
 *   npm run study                          the diagnosis beside two rules of thumb, 2,000 walks
 *   npm run study -- --walks 100           the same, quickly
 *   npm run study -- seasons --pools 40    dates of crossing in six worlds; --world NAME: only this
 *   npm run study -- next --pools 500      guided walks beside reading every point
 *   npm run study -- policy --pools 40     the policy beside hand rules, a filter and the optimum
 *     --program     beside `decide` from its own readings, too: some minutes a pool
 *   npm run study -- worlds                the answers on decks that differ from the model
 *     --walks N     walks a world
 *     --world NAME  only this world
 *     --seed N      other walks
 *     --wrong       every sure statement that is wrong, walk by walk; --files DIR writes those walks
 *     --base first  every world drawn from the first version's picture of a deck
 *   npm run study -- fit                   how often the fit test speaks on walks of the model itself
 *   npm run study -- rivals                is what is really the matter the first explanation?
 */
import { parseArgs } from "node:util";
import { smallPool } from "../reference/builders.ts";
import { diagnosisStudy } from "./diagnosis-study.ts";
import { fitStudy } from "./fit-study.ts";
import { nextStudy } from "./next-study.ts";
import { policyStudy } from "./policy/policy-study.ts";
import { rivalsStudy } from "./rivals-study.ts";
import { seasonsStudy } from "./seasons-study.ts";
import { worldsStudy } from "./worlds-study.ts";

interface Options {
  readonly walks: number | undefined;
  readonly pools: number | undefined;
  readonly seed: number;
  readonly base: "modelled" | "first";
  readonly world: string | undefined;
  readonly wrong: boolean;
  readonly files: string | undefined;
  readonly program: boolean;
}

const pool = smallPool([1, 2, 3, 4, 5, 6, 7, 8], ["touchpad", "button-1", "button-2"]);

const studies: Readonly<Record<string, (options: Options) => void>> = {
  diagnosis: ({ walks = 2000 }) => diagnosisStudy(pool, walks),
  seasons: ({ pools = 40, world }) => seasonsStudy(pools, world),
  next: ({ pools = 500 }) => nextStudy(pool, pools),
  policy: ({ pools = 20, world, program }) => policyStudy(pools, world, program),
  fit: ({ walks = 300, seed }) => fitStudy(walks, seed),
  rivals: ({ walks = 40, seed }) => rivalsStudy(walks, seed),
  worlds: ({ walks = 100, ...options }) => worldsStudy({ walks, ...options }),
};

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    walks: { type: "string" },
    pools: { type: "string" },
    seed: { type: "string", default: "20261128" },
    base: { type: "string", default: "modelled" },
    world: { type: "string" },
    wrong: { type: "boolean", default: false },
    files: { type: "string" },
    program: { type: "boolean", default: false },
  },
});
const study = studies[positionals[0] ?? "diagnosis"];
const whole = (text: string): boolean => Number.isInteger(Number(text)) && Number(text) >= 1;
const { walks, pools, seed, base, ...rest } = values;

if (
  !study ||
  ![walks ?? "1", pools ?? "1", seed].every(whole) ||
  !/^(modelled|first)$/.test(base)
) {
  const options =
    "[--walks N | --pools N] [--seed N] [--world NAME] [--base modelled | first] [--wrong] [--files DIR] [--program]";
  console.error(`usage: study [${Object.keys(studies).join(" | ")}] ${options}`);
  process.exitCode = 2;
} else {
  study({
    walks: walks === undefined ? undefined : Number(walks),
    pools: pools === undefined ? undefined : Number(pools),
    seed: Number(seed),
    base: base as Options["base"],
    world: rest.world,
    wrong: rest.wrong,
    program: rest.program,
    files: rest.files,
  });
}
