import { assumedAgeing } from "../domain/assumed-ageing.ts";

/**
 * The rate at which a sound contact comes to something that has the given chance in the weeks that a
 * contact of unknown history stands for, nothing mending by itself [per week].
 */
export const perWeek = (chance: number): number =>
  -Math.log1p(-Math.min(0.99, chance)) / assumedAgeing.priorWeeks.value;
