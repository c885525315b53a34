import type { Decision, ReadAgain } from "../domain/decision.ts";
import { english } from "../words/english.ts";
import { instructions, nearlyTold } from "./decision-told.ts";

/**
 * Decisions in English, for the report, the memo, the page and JSON; `decide-text.ts` speaks every
 * language.
 */

const { decide } = english;

export const { courses: courseNames, aBreak: breakWords } = decide;

/** The rule that a person can pin to the wall, as a sentence. */
export const ruleText = (decision: Decision): string => decide.rule(decision);

/** One decision as instructions; a break is looked for first. */
export const decisionWords = (decision: Decision, currency: string): string =>
  instructions(decision, currency, english);

/** "55 % that this is the cheapest"; a look comes first whatever it costs. */
export const sureText = (decision: Decision): string => decide.sure(decision);

/** "; to clean it and read costs nearly the same": how sure counts little then. */
export const nearlyText = (decision: Decision): string => nearlyTold(decision, english);

/** "Lane 3 plate connector was replaced on 2026-03-08, ...": why nothing is weighed. */
export const readAgainWords = ({ place, action, date }: ReadAgain): string =>
  decide.readAgain(place, action, date);
