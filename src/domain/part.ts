import type { Moment } from "./reading.ts";

/** One line of the parts register: where a part is since when. A part's latest line counts. */
export interface Part {
  /** The tag tied to the part, or whatever the facility calls it. */
  readonly tag: string;
  /** What it is, such as `wall plate`; the name of a connector where it is a spare for one. */
  readonly kind: string;
  /** `spare`, `gone`, or a place in the facility's own words, such as `lane 3 touchpad pod`. */
  readonly where: string;
  readonly since: Moment | null;
  readonly note: string | null;
  readonly line: number;
}

export const isSpare = ({ where }: Part): boolean => where === "spare";
export const isGone = ({ where }: Part): boolean => where === "gone";

/** The latest line of each part, the earliest known first; lines without a date stand before dated ones. */
export function partsNow(lines: readonly Part[]): readonly Part[] {
  const when = ({ since }: Part): string => `${since?.day ?? ""} ${since?.seconds ?? 0}`;
  const latest = new Map<string, Part>();
  for (const line of lines) {
    const before = latest.get(line.tag);
    if (before === undefined || when(before) <= when(line)) latest.set(line.tag, line);
  }
  return [...latest.values()];
}

/** Spares of one kind in stock, whatever the case and spaces it is written in. */
export function sparesOf(lines: readonly Part[], kind: string): number {
  const plain = (text: string): string => text.trim().toLowerCase().replaceAll(/\s+/g, " ");
  return partsNow(lines).filter((part) => isSpare(part) && plain(part.kind) === plain(kind)).length;
}
