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
