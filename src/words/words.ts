import type { CautionWords } from "./caution-words.ts";
import type { CheckWords } from "./check-words.ts";
import type { CommandWords } from "./command-words.ts";
import type { DecideWords } from "./decide-words.ts";
import type { ExplanationWords } from "./explanation-words.ts";
import type { FigureWords } from "./figure-words.ts";
import type { MarginWords } from "./margin-words.ts";
import type { NextWords } from "./next-words.ts";
import type { PlaceWords } from "./place-words.ts";
import type { ReadyWords } from "./ready-words.ts";
import type { SuspectWords } from "./suspect-words.ts";
import type { VerdictWords } from "./verdict-words.ts";

/**
 * All that one language says, phrase by phrase: functions of codes and values, whole sentences where
 * another language may turn their order round. A language lacks nothing that this names.
 */
export interface Words {
  readonly figures: FigureWords;
  readonly places: PlaceWords;
  readonly check: CheckWords;
  readonly suspects: SuspectWords;
  readonly verdicts: VerdictWords;
  readonly explanations: ExplanationWords;
  readonly margins: MarginWords;
  readonly cautions: CautionWords;
  readonly command: CommandWords;
  readonly decide: DecideWords;
  readonly next: NextWords;
  readonly ready: ReadyWords;
}
