import { NO_CURRENCY } from "../domain/currency.ts";
import type { ConnectorFinding } from "../domain/findings.ts";
import type { CircuitName, Lane } from "../domain/place.ts";
import { english } from "../words/english.ts";
import type { NamedPlace } from "../words/place-words.ts";
import { leadLine } from "./worth-saying.ts";

/**
 * How things are called in charts, reports, memos and on the page, in English: one place, so that a
 * connector has the same name in the title of a chart and in the sentence beside it. What speaks other
 * languages asks `words/` instead, and never this file.
 */

const { figures, places } = english;

/** ` (turn end)`; nothing where the pool has no ends. */
export const endText = (end: string | null): string => places.end(end);

/** `lane 3 touchpad`, `lane 3 touchpad (turn end)`; `start` for a circuit of no lane. */
export const circuitText = (circuit: CircuitName): string => places.circuit(circuit);

/** `lane 3`, or the device of a circuit that belongs to no lane. */
export const whoText = (circuit: CircuitName): string => places.who(circuit);

/** `lane 3`. */
export const laneText = (lane: Lane): string => places.lane(lane);

/** A circuit's lane in a table: `none` for a circuit of no lane, as sheets write it. */
export const laneCell = (circuit: { readonly lane: Lane | null }): string =>
  places.laneCell(circuit);

/** A lane's heading on paper: its number, or that there is none. */
export const laneHead = (cell: string): string =>
  cell === laneCell({ lane: null }) ? "no lane" : cell;

/** A circuit's device in a table, with its end where the pool has ends. */
export const deviceCell = (circuit: CircuitName): string => places.deviceCell(circuit);

/**
 * `lane 3 plate connector`, `lane 3 touchpad pod terminals`, `timer outlet`; of connectors that
 * groups of lanes share, `harness connector of lanes 1 to 4`. A name that says its device already is
 * not told it twice.
 */
export const connectorName = (place: NamedPlace): string => places.connector(place);

/** `1 reading`, `3 readings`. */
export const counted = (count: number, one: string, more = `${one}s`): string =>
  `${count} ${count === 1 ? one : more}`;

/** How a rival explanation is introduced: by whether it is more likely than all else together. */
export const explanationLabel = ({ probability }: { readonly probability: number }): string =>
  english.explanations.labels[probability >= 0.5 ? "likely" : "not-ruled-out"];

/** `0.38 V`; two decimals, the finest that a handheld meter shows. */
export const voltsText = (volts: number): string => figures.volts(volts);

/** `1 week`, `5 weeks`, from any number of weeks. */
export const weeksText = (weeks: number): string => figures.weeks(weeks);

/** A resistance without its unit: two figures, whole from 100 on, never with an exponent. */
export const ohmsFigures = (ohms: number): string => figures.ohmsFigures(ohms);

/** `87 Ω`, or `open`. */
export const ohmsText = (ohms: number): string => figures.ohms(ohms);

/** `97 %`; never 0 % or 100 % for what is merely unlikely or likely. */
export const percentText = (probability: number): string => figures.percent(probability);

/** What the walk comes to, in one line: the title of its map and the verdict of its report. */
export const leadFinding = (connectors: readonly ConnectorFinding[]): string =>
  leadLine({ connectors }, english);

/** A currency code as a unit: `XXX`, no currency by ISO 4217, prints as plain words. */
export const currencyUnit = (currency: string): string =>
  currency === NO_CURRENCY ? "currency units" : currency;

/** `1,240`: an amount where its currency stands elsewhere. */
export const amountText = (amount: number): string => figures.money(amount, NO_CURRENCY);

/** `EUR 1,240`: whole units, the currency's code in front, a minus for what is lost. */
export const moneyText = (amount: number, currency: string): string =>
  figures.money(amount, currency);
