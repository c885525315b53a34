/** One line of the demo's work log, in the order of the columns. */
export interface WrittenWork {
  readonly doneAt: string;
  readonly lane: string;
  readonly device: string;
  readonly point: string;
  readonly action: string;
  readonly minutes: string;
  readonly cost: string;
  readonly by: string;
  readonly note: string;
}

const work = (
  doneAt: string,
  [lane, device, point]: readonly [lane: string, device: string, point: string],
  action: string,
  [minutes, cost]: readonly [minutes: number, cost: number],
  by: string,
  note = "",
): WrittenWork => ({
  doneAt,
  lane,
  device,
  point,
  action,
  minutes: String(minutes),
  cost: cost.toFixed(2),
  by,
  note,
});

/** What was done to the path during the season. */
export const demoWork: readonly WrittenWork[] = [
  work("2026-02-08T07:10:00", ["3", "touchpad", "pod"], "cleaned", [20, 3.5], "RK"),
  work("2026-02-22T08:05:00", ["5", "", "harness"], "reseated", [5, 0], "TM", "was loose"),
  work("2026-03-08T07:30:00", ["8", "touchpad", "pod"], "cleaned", [20, 3.5], "RK"),
  work(
    "2026-03-22T07:15:00",
    ["3", "touchpad", "pod"],
    "cleaned",
    [25, 3.5],
    "RK",
    "metal dull after cleaning",
  ),
  work("2026-04-05T07:40:00", ["1", "", "plate"], "cleaned", [15, 2], "TM"),
];
