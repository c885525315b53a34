import { englishCautions } from "./english-cautions.ts";
import { englishCheck } from "./english-check.ts";
import { englishCommand } from "./english-command.ts";
import { englishDecide } from "./english-decide.ts";
import { englishExplanations } from "./english-explanations.ts";
import { englishFigures } from "./english-figures.ts";
import { englishMargins } from "./english-margins.ts";
import { englishNext } from "./english-next.ts";
import { englishPlaces } from "./english-places.ts";
import { englishReady } from "./english-ready.ts";
import { englishSuspects } from "./english-suspects.ts";
import { englishVerdicts } from "./english-verdicts.ts";
import type { Words } from "./words.ts";

/** Every phrase in English. */
export const english: Words = {
  figures: englishFigures,
  places: englishPlaces,
  check: englishCheck,
  suspects: englishSuspects,
  verdicts: englishVerdicts,
  explanations: englishExplanations,
  margins: englishMargins,
  cautions: englishCautions,
  command: englishCommand,
  decide: englishDecide,
  next: englishNext,
  ready: englishReady,
};
