/**
 * Which walk is the latest: the last one with a date, of those that have a reading at rest; where none
 * has a date, the last of the files. A lone pressed reading makes no walk, so one that was taken a day
 * later changes nothing here. `walks` in the order of time, as `inOrderOfTime` gives them.
 */
export const latestWalk = <Walk extends { readonly day: number | null }>(
  walks: readonly Walk[],
): Walk | undefined => walks.findLast(({ day }) => day !== null) ?? walks.at(-1);
