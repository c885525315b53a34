/** The moment as ISO 8601 with this machine's offset, to the second: 2026-06-13T07:42:10+02:00. */
export function localTime(now: Date): string {
  const east = -now.getTimezoneOffset();
  const two = (value: number): string => String(Math.trunc(Math.abs(value))).padStart(2, "0");
  const local = new Date(now.getTime() + east * 60_000).toISOString().slice(0, 19);
  return `${local}${east < 0 ? "-" : "+"}${two(east / 60)}:${two(east % 60)}`;
}

/** Today's calendar day on this machine, `YYYY-MM-DD`. */
export const localDay = (now: Date): string => localTime(now).slice(0, 10);
