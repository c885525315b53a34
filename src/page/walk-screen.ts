import { lastPoint } from "../domain/circuit.ts";
import { circuitName, circuitOf, type Lane, sameLane } from "../domain/place.ts";
import type { Meter, Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { cautionsFor } from "../report/cautions.ts";
import type { App } from "./app.ts";
import { cautionLine } from "./card-view.ts";
import { DoneCard } from "./done-card.ts";
import { h, refill } from "./element.ts";
import { Entry, type EntrySettings } from "./entry.ts";
import { laneStrip } from "./lane-strip.ts";
import { workPlace } from "./outcome.ts";
import { PlaceCard } from "./place-card.ts";
import { placePicker } from "./place-picker.ts";
import { type Spot, sameSpot } from "./proposals.ts";
import { ReadingsList } from "./readings-list.ts";
import type { Screen } from "./screen.ts";

/** Reading values off the meter, one after another. */
export class WalkScreen implements Screen {
  readonly node: HTMLElement;
  readonly #app: App;
  readonly #entry: Entry;
  readonly #place: PlaceCard;
  readonly #done: DoneCard;
  readonly #list: ReadingsList;
  readonly #strip = h("div", { class: "strip-place" });
  readonly #meter = h("select", { id: "meter", name: "meter" });
  readonly #state: HTMLSelectElement;
  readonly #by = h("input", { id: "by", name: "by", type: "text", autocomplete: "off" });
  readonly #note = h("input", { id: "note", name: "note", type: "text", autocomplete: "off" });
  readonly #picker = placePicker((place) => this.#choose(place));
  #metersOf = "";
  #stripOf = "";

  constructor(app: App) {
    this.#app = app;
    this.#state = h(
      "select",
      { id: "state", name: "state" },
      h("option", { value: "rest" }, "at rest"),
      h("option", { value: "pressed" }, "pressed"),
    );
    this.#entry = new Entry(app, () => this.#settings());
    this.#place = new PlaceCard(() => this.#openPicker());
    this.#done = new DoneCard(app, () => this.#openPicker());
    this.#list = new ReadingsList(app, (words) => this.#entry.say(words));
    this.node = this.#layout();
  }

  #layout(): HTMLElement {
    return h(
      "section",
      { class: "walk", "aria-labelledby": "walk-title" },
      h("h1", { id: "walk-title", class: "aside", tabindex: "-1" }, "Walk"),
      h(
        "div",
        { class: "capture" },
        this.#strip,
        h("div", { class: "now" }, this.#done.node, this.#place.node),
        this.#entry.node,
      ),
      this.#list.node,
      h(
        "details",
        {},
        h("summary", {}, "Meter, switch, who, note"),
        h("label", { for: "meter" }, "Meter"),
        this.#meter,
        h("label", { for: "state" }, "Switch of the device"),
        this.#state,
        h("label", { for: "by" }, "Read by (initials)"),
        this.#by,
        h("label", { for: "note" }, "Note with the next reading"),
        this.#note,
      ),
      cautionLine(cautionsFor("measure"), "walk"),
      this.#picker.node,
      this.#list.dialog,
    );
  }

  /** The field is where the finger goes first. */
  show(): void {
    this.#entry.volts.focus({ preventScroll: true });
  }

  update(): void {
    const { pool } = this.#app;
    if (pool === null) return;
    this.#fillMeters(pool);
    const readings = this.#app.readingsOf(this.#app.walkNow);
    this.#entry.update(pool);
    const isOver = this.#done.update(pool);
    this.node.classList.toggle("over", isOver);
    this.#place.update(this.#app, pool, whyHere(this.#app));
    this.#fillStrip(pool, readings);
    this.#list.update(readings, this.#app.walkNow);
  }

  #fillMeters(pool: Pool): void {
    const names = JSON.stringify(pool.meters.map((meter) => meter.name));
    if (names === this.#metersOf) return;
    this.#metersOf = names;
    refill(
      this.#meter,
      ...pool.meters.map((meter) => h("option", { value: meter.name }, meter.name)),
    );
  }

  #settings(): EntrySettings {
    const meters: readonly Meter[] = this.#app.pool?.meters ?? [];
    const stored = (): void => {
      this.#note.value = "";
    };
    return {
      meter: meters.find((meter) => meter.name === this.#meter.value) ?? meters[0] ?? null,
      pressed: this.#state.value === "pressed",
      by: this.#by.value.trim(),
      note: this.#note.value.trim(),
      stored,
    };
  }

  #fillStrip(pool: Pool, readings: readonly Reading[]): void {
    const { findings, walkNow, place } = this.#app;
    const walk = findings?.walk === walkNow ? (findings?.diagnosis ?? null) : null;
    const here = place?.lane ?? null;
    const verdicts = walk?.circuits.map((one) => one.verdict);
    const key = JSON.stringify([pool.name, pool.lanes, here, verdicts, readings.length, walkNow]);
    if (key === this.#stripOf) return;
    this.#stripOf = key;
    const strip = laneStrip(pool, readings, walk, here, (lane) => this.#goToLane(pool, lane));
    refill(this.#strip, strip);
    const cell = strip.querySelector<HTMLElement>("[aria-current]");
    if (cell !== null) strip.scrollLeft = cell.offsetLeft - strip.clientWidth / 2;
  }

  /** The lane's first circuit that is not read yet, else its first. */
  #goToLane(pool: Pool, lane: Lane): void {
    const readings = this.#app.readingsOf(this.#app.walkNow);
    const spots = pool.circuits
      .filter((circuit) => sameLane(circuit, { lane }))
      .map((circuit) => ({ ...circuitName(circuit), point: lastPoint(circuit) }));
    const spot = spots.find((one) => !readings.some((read) => sameSpot(read, one))) ?? spots[0];
    if (spot !== undefined) this.#choose(spot);
  }

  #openPicker(): void {
    const { pool } = this.#app;
    const readings = this.#app.readingsOf(this.#app.walkNow);
    if (pool !== null) this.#picker.open(pool, readings, this.#app.place);
  }

  #choose(place: Spot): void {
    this.#app.choose(place);
    this.#entry.volts.focus({ preventScroll: true });
  }
}

function whyHere(app: App): string {
  const { chosen, chosenBy, advice, toRecheck, pool } = app;
  if (chosen !== null) return chosenBy === "tap" ? "You chose this point." : "The value goes here.";
  const worked = app.rechecks.find(({ open }) => open.length > 0);
  if (worked !== undefined && toRecheck.length > 0)
    return `To see what was ${worked.work.entered.action}: ${workPlace(worked)}.`;
  const { place } = app;
  const circuit = pool === null || place === null ? undefined : circuitOf(pool, place);
  const read = app.readingsOf(app.walkNow);
  if (place !== null && read.some((one) => sameSpot(one, place)))
    return "Its value is in doubt: read it once more to be sure.";
  if (circuit !== undefined && place !== null && place.point !== lastPoint(circuit))
    return "This reading tells where along the path the volts are lost.";
  if (advice?.stop === "all-settled")
    return "Every circuit is settled. More readings only confirm.";
  if (place === null) return "";
  return "A good value here clears the whole path.";
}
