import { currencyOf } from "../domain/currency.ts";
import type { Decision, ReadAgain } from "../domain/decision.ts";
import { type ConnectorFinding, mayBeBroken } from "../domain/findings.ts";
import { samePlace } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { WorkStep } from "../domain/work.ts";
import { english } from "../words/english.ts";
import { sentence } from "../words/figure-words.ts";
import { cautionsFor } from "./cautions.ts";
import { stepsOf } from "./decision-told.ts";
import {
  breakWords,
  decisionWords,
  nearlyText,
  readAgainWords,
  sureText,
} from "./decision-words.ts";
import { type Block, type Line, list, paragraph } from "./document.ts";
import { limitText } from "./limit-text.ts";
import { connectorName, voltsText } from "./names.ts";
import { mayLiftPad } from "./pad-lift.ts";
import { assumedLoadNote } from "./unknown-load.ts";

/** What to do about each suspect, worst first, with what can hurt someone right beside it. */
export function whatToDoBlocks(
  pool: Pool,
  found: readonly ConnectorFinding[],
  decisions: readonly Decision[],
  again: readonly ReadAgain[] = [],
): readonly Block[] {
  if (found.length === 0)
    return [paragraph("Nothing needs work now. Walk the pool again at the next check.")];
  const steps = found.map((one) => {
    const since = again.find(({ place }) => samePlace(place, one));
    return since === undefined
      ? stepFor(pool, one, decisionFor(one, decisions))
      : [readAgainWords(since)];
  });
  const kinds = new Set<WorkStep>(["measure"]);
  for (const one of found) {
    const decision = decisionFor(one, decisions);
    const undecided = mayBeBroken(one.worst) ? (["look"] as const) : (["clean"] as const);
    for (const step of decision === undefined ? undecided : stepsOf(pool, decision))
      kinds.add(step);
    if (mayLiftPad(pool, one)) kinds.add("lift-pads");
  }
  return [
    list(steps, true),
    ...(decisions.length === 0 ? [] : assumedLoadNote(pool).map((note) => paragraph(note))),
    { kind: "caution", items: cautionsFor(...kinds).map((one) => one.words) },
    paragraph(
      `After each piece of work read the same points again and write it into the work log: a reading that comes back over ${limitText(pool, english.figures)} is what shows that it worked.`,
    ),
  ];
}

function decisionFor(one: ConnectorFinding, decisions: readonly Decision[]): Decision | undefined {
  return decisions.find(({ place }) => samePlace(place, one));
}

/** One suspect's step. Without prices the order of common practice: look, clean, read again. */
function stepFor(pool: Pool, one: ConnectorFinding, decision: Decision | undefined): Line {
  const name = sentence(connectorName(one));
  const target = one.evidence.find((each) => each.point === one.point)?.expectedIfSound;
  const check =
    target === undefined
      ? ""
      : ` Then read the ${one.point} again: it should read ${voltsText(target)}.`;
  if (decision === undefined && mayBeBroken(one.worst))
    return [{ strong: `${name}: look for the break first.` }, ` ${breakWords}${check}`];
  if (decision === undefined) return [{ strong: `${name}: open, inspect and clean it.` }, check];
  const words = decisionWords(decision, currencyOf(pool));
  const known = `(${sentence(sureText(decision))}${nearlyText(decision)}.)`;
  return [{ strong: `${name}. ` }, `${words} ${known}${check}`];
}
