/** Log axes have no zero: what is under this is drawn here, and its label says the number [Ω]. */
export const floorOhms = 0.05;
/** Where an open contact, which has no number, is drawn; what is over it too [Ω]. */
export const ceilingOhms = 10_000;

/** Where a resistance is drawn: within the scale [Ω]. */
export const drawnOhms = (ohms: number): number => Math.min(Math.max(ohms, floorOhms), ceilingOhms);

/** Ticks of every scale of ohms; `10k` is short enough to stand beside `1k`. */
export const ohmsTicks = {
  values: [0.1, 1, 10, 100, 1000, 10000],
  labelExpr: "datum.value >= 1000 ? datum.value / 1000 + 'k' : '' + datum.value",
  labelOverlap: false,
};
