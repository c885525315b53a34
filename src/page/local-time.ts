const two = (value: number): string => String(value).padStart(2, "0");

/** This moment on this phone's clock, with its offset: `2026-05-02T14:03:07+02:00`. */
export function localMoment(now: Date): string {
  const minutes = -now.getTimezoneOffset();
  const size = Math.abs(minutes);
  const offset = `${minutes < 0 ? "-" : "+"}${two(Math.floor(size / 60))}:${two(size % 60)}`;
  const time = `${two(now.getHours())}:${two(now.getMinutes())}:${two(now.getSeconds())}`;
  return `${localDay(now)}T${time}${offset}`;
}

/** Today on this phone's clock: `2026-05-02`. */
export const localDay = (now: Date): string =>
  `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;

/** So close to now two things were noted by one hand, one after the other [s]. */
const AT_ONCE = 5;

/**
 * This moment, but none before these, where some are only just ahead: the files tell whole seconds, and
 * what is noted second must not stand first. They count seconds since 1970-01-01T00:00.
 */
export function localMomentFrom(now: Date, earliest: readonly number[]): string {
  const second = Math.floor(now.getTime() / 1000);
  const ahead = earliest.filter((one) => one > second && one <= second + AT_ONCE);
  return localMoment(ahead.length > 0 ? new Date(Math.max(...ahead) * 1000) : now);
}
