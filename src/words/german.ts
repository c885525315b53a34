import { germanCautions } from "./german-cautions.ts";
import { germanCheck } from "./german-check.ts";
import { germanCommand } from "./german-command.ts";
import { germanDecide } from "./german-decide.ts";
import { germanExplanations } from "./german-explanations.ts";
import { germanFigures } from "./german-figures.ts";
import { germanMargins } from "./german-margins.ts";
import { germanNext } from "./german-next.ts";
import { germanPlaces } from "./german-places.ts";
import { germanReady } from "./german-ready.ts";
import { germanSuspects } from "./german-suspects.ts";
import { germanVerdicts } from "./german-verdicts.ts";
import type { Words } from "./words.ts";

/** Every phrase in German. */
export const german: Words = {
  figures: germanFigures,
  places: germanPlaces,
  check: germanCheck,
  suspects: germanSuspects,
  verdicts: germanVerdicts,
  explanations: germanExplanations,
  margins: germanMargins,
  cautions: germanCautions,
  command: germanCommand,
  decide: germanDecide,
  next: germanNext,
  ready: germanReady,
};
