import type { ConnectorFinding } from "../domain/findings.ts";
import {
  type CircuitName,
  isAboveLanes,
  isGroup,
  isOfDevice,
  isOfLane,
  type Lane,
  type Place,
} from "../domain/place.ts";

/**
 * How things are called in charts, reports and memos: one place, so that a connector has the same
 * name in the title of a chart and in the sentence beside it.
 */

/** ` (turn end)`; nothing where the pool has no ends. */
export const endText = (end: string | null): string => (end === null ? "" : ` (${end} end)`);

/** `lane 3 touchpad`, `lane 3 touchpad (turn end)`; `start` for a circuit of no lane. */
export const circuitText = (circuit: CircuitName): string =>
  `${isOfLane(circuit) ? `lane ${circuit.lane} ` : ""}${circuit.device}${endText(circuit.end)}`;

/** `lane 3`, or the device of a circuit that belongs to no lane. */
export const whoText = (circuit: CircuitName): string =>
  isOfLane(circuit) ? `lane ${circuit.lane}` : circuit.device;

/** A circuit's lane in a table: `none` for a circuit of no lane, as sheets write it. */
export const laneCell = (circuit: { readonly lane: Lane | null }): string =>
  isOfLane(circuit) ? String(circuit.lane) : "none";

/** A lane's heading on paper: its number, or that there is none. */
export const laneHead = (cell: string): string =>
  cell === laneCell({ lane: null }) ? "no lane" : cell;

/** A circuit's device in a table, with its end where the pool has ends. */
export const deviceCell = ({ device, end }: CircuitName): string => `${device}${endText(end)}`;

/** `1 to 4` for a run of numbers, else `1, 3, 5`. */
export function lanesText(lanes: readonly Lane[]): string {
  const isRun = lanes.length > 2 && lanes.every((lane, i) => lane === Number(lanes[0]) + i);
  return isRun ? `${lanes[0]} to ${lanes.at(-1)}` : lanes.join(", ");
}

/** A connector by its name and its place. */
export type NamedPlace = Omit<Place, "point"> & { readonly connector: string };

/** Whose a connector is, with `after` behind it: `lane 3 touchpad `, `` for what lanes share. */
export function ownerText(place: NamedPlace, after: "" | "'s"): string {
  const says = !isOfDevice(place) || place.connector.startsWith(place.device);
  const own = says ? "" : `${place.device} `;
  return isOfLane(place) ? `lane ${place.lane}${after} ${own}` : own;
}

/**
 * `lane 3 plate connector`, `lane 3 touchpad pod terminals`, `timer outlet`; of connectors that
 * groups of lanes share, `harness connector of lanes 1 to 4`. A name that says its device already is
 * not told it twice.
 */
export function connectorName(place: NamedPlace): string {
  const group = isGroup(place) ? ` of lanes ${lanesText(place.lanes)}` : "";
  return `${ownerText(place, "")}${place.connector}${group}${endText(place.end)}`;
}

/** `1 reading`, `3 readings`. */
export const counted = (count: number, one: string, more = `${one}s`): string =>
  `${count} ${count === 1 ? one : more}`;

/** An explanation less likely than this is not printed. */
const WORTH_SAYING = 0.05;

/** Explanations that a person is told of; the JSON has all. */
export const isWorthSaying = ({ probability }: { readonly probability: number }): boolean =>
  probability >= WORTH_SAYING;

/** How a rival explanation is introduced: by whether it is more likely than all else together. */
export const explanationLabel = ({ probability }: { readonly probability: number }): string =>
  probability >= 0.5 ? "Likely" : "Not ruled out";

/** First letter large, the rest as it is. */
export const sentence = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** `0.38 V`; two decimals, the finest that a handheld meter shows. */
export const voltsText = (volts: number): string => `${volts.toFixed(2)} V`;

/** `1 week`, `5 weeks`, from any number of weeks. */
export const weeksText = (weeks: number): string => counted(Math.round(weeks), "week");

/** Nothing that passes this little is told from an open contact [Ω]. */
const AS_GOOD_AS_OPEN = 1e9;
/** Smallest resistance with figures of its own [Ω]. */
const AS_GOOD_AS_NONE = 1e-6;

/** Whether a resistance is called open instead of given in figures. */
export const isCalledOpen = (ohms: number): boolean => ohms >= AS_GOOD_AS_OPEN;

/** A resistance without its unit: two figures, whole from 100 on, never with an exponent. */
export function ohmsFigures(ohms: number): string {
  if (isCalledOpen(ohms)) return "open";
  if (ohms >= 99.5) return ohms.toFixed(0);
  return Math.abs(ohms) < AS_GOOD_AS_NONE ? "0.0" : ohms.toPrecision(2);
}

/** `87 Ω`, or `open`. */
export function ohmsText(ohms: number): string {
  const figures = ohmsFigures(ohms);
  return isCalledOpen(ohms) ? figures : `${figures} Ω`;
}

/** `97 %`; never 0 % or 100 % for what is merely unlikely or likely. */
export function percentText(probability: number): string {
  // A chance that rounding has made 1 is still a chance.
  if (probability > 0.99) return "over 99 %";
  if (probability < 0.01 && probability > 0) return "under 1 %";
  return `${(100 * probability).toFixed(0)} %`;
}

/** Lanes in the order of the deck: what several share first, what belongs to none last. */
function deckOrder(a: NamedPlace, b: NamedPlace): number {
  const rank = (one: NamedPlace): number => (isAboveLanes(one) ? 0 : isOfLane(one) ? 1 : 2);
  if (rank(a) !== rank(b) || !isOfLane(a) || !isOfLane(b)) return rank(a) - rank(b);
  return String(a.lane).localeCompare(String(b.lane), "en", { numeric: true });
}

/** The connectors that are more likely faulty than sound, in the order in which to go to them. */
export const suspectsToVisit = (
  connectors: readonly ConnectorFinding[],
): readonly ConnectorFinding[] =>
  connectors.filter(({ atFault }) => atFault >= 0.5).toSorted(deckOrder);

/**
 * What the walk comes to, in one line: the title of its map and the verdict of its report. Every
 * suspect is named, in the order in which to go to them.
 */
export function leadFinding(connectors: readonly ConnectorFinding[]): string {
  const lead = connectors[0];
  if (lead === undefined) return "No circuit was read";
  const suspects = suspectsToVisit(connectors);
  const [only] = suspects;
  if (only === undefined)
    return `No connector is more likely faulty than sound (${connectorName(lead)}: ${percentText(lead.atFault)})`;
  if (suspects.length === 1)
    return `${sentence(connectorName(only))} drops ${voltsText(only.voltsLost)}`;
  const named = suspects.map((one) => `${connectorName(one)} (${voltsText(one.voltsLost)})`);
  return `Suspect, in walking order: ${named.join(", ")}`;
}

/** A currency code as a unit: `XXX`, no currency by ISO 4217, prints as plain words. */
export const currencyUnit = (currency: string): string =>
  currency === "XXX" ? "currency units" : currency;

/** `EUR 1,240`: whole units, the currency's code in front, a minus for what is lost. */
export function moneyText(amount: number, currency: string): string {
  const whole = Math.round(Math.abs(amount))
    .toString()
    .replace(/\B(?=(\d{3})+$)/g, ",");
  const code = currency === "XXX" ? "" : `${currency} `;
  return `${Math.round(amount) < 0 ? "−" : ""}${code}${whole}`;
}
