import type { App } from "./app.ts";
import { askSeason } from "./ask-season.ts";
import { allCards, checklistViews } from "./day-checklists.ts";
import { dayVerdict, laneViews, planView } from "./day-lanes.ts";
import { DayPads } from "./day-pads.ts";
import { cardsButton, handOverView, roundView } from "./day-papers.ts";
import { bagList, DayParts } from "./day-parts.ts";
import { DayPresses } from "./day-presses.ts";
import { decideView, trendView } from "./day-season.ts";
import type { DayAnswer } from "./day-task.ts";
import { type Child, h, refill } from "./element.ts";
import { InPlace } from "./in-place.ts";
import { localDay } from "./local-time.ts";
import type { Screen } from "./screen.ts";

const folded = (title: string, ...children: readonly Child[]): HTMLElement =>
  h("details", { class: "day-part" }, h("summary", {}, title), ...children);

/** The whole deck day: which lanes are ready, what to put right, what to press, carry and hand on. */
export class DayScreen implements Screen {
  readonly node: HTMLElement;
  readonly #app: App;
  readonly #verdict = h("p", { class: "verdict", role: "status" });
  readonly #progress = h("p", { class: "small" });
  readonly #lanes = h("div", { "aria-busy": "true" });
  readonly #plan = h("div", {});
  readonly #bag = h("div", {});
  readonly #trend = h("div", {});
  readonly #decided = h("div", {});
  readonly #round = h("div", {});
  readonly #lists = h("div", {});
  readonly #inPlace: InPlace;
  readonly #presses: DayPresses;
  readonly #pads: DayPads;
  readonly #parts: DayParts;
  readonly #minutes = h("input", {
    ...{ id: "minutes-left", type: "text", inputmode: "numeric", autocomplete: "off" },
    on: { change: () => this.update() },
  });
  #asked = "";
  #askedOf: unknown = null;
  /** Counts the questions: the answer to an older one is no longer told. */
  #turn = 0;
  #answer: DayAnswer | null = null;
  #listsOf = "";

  constructor(app: App) {
    this.#app = app;
    this.#presses = new DayPresses(app);
    this.#pads = new DayPads(app);
    this.#parts = new DayParts(app);
    const minutes = h(
      "label",
      { for: "minutes-left" },
      "Minutes left (blank: as many as it takes)",
    );
    this.node = h(
      "section",
      { class: "day", "aria-labelledby": "day-title" },
      h("h1", { id: "day-title", tabindex: "-1" }, "Day"),
      this.#verdict,
      this.#progress,
      this.#lanes,
      h("h2", {}, "Put right, in this order"),
      this.#plan,
      folded("So many minutes are left", minutes, this.#minutes),
      h("h2", {}, "On the deck"),
      folded("Press pads and buttons", this.#presses.node),
      folded("Water and pads", this.#pads.node),
      folded("The bag", this.#bag),
      folded("Parts and spares", this.#parts.node),
      folded("The round on paper", this.#round),
      this.#lists,
      folded("How each act is done", cardsButton(app), ...allCards()),
      h("h2", {}, "Over the season"),
      folded("Each lane’s trend", this.#trend),
      folded("Clean, replace or leave", this.#decided),
      folded(
        "Hand over to a successor",
        handOverView(app, () => this.#answer),
      ),
    );
    this.#inPlace = new InPlace(this.node);
  }

  update(): void {
    const { pool, contents } = this.#app;
    if (pool === null || contents === null) return;
    if (this.#listsOf !== pool.name) {
      this.#listsOf = pool.name;
      refill(this.#lists, ...checklistViews(pool.name));
      refill(this.#round, roundView(this.#app));
    }
    this.#parts.update();
    this.#pads.update(this.#answer);
    this.#presses.update(this.#answer);
    const [date, minutes] = [localDay(new Date()), this.#minutes.value.trim()];
    const asked = JSON.stringify([date, minutes]);
    if (this.#askedOf === contents && this.#asked === asked) return;
    [this.#askedOf, this.#asked] = [contents, asked];
    const left = minutes === "" || !(Number(minutes) >= 0) ? null : Number(minutes);
    void this.#ask(date, left);
  }

  async #ask(date: string, minutesLeft: number | null): Promise<void> {
    const question = this.#app.dayQuestion(date, minutesLeft);
    if (question === null) return;
    this.#lanes.setAttribute("aria-busy", "true");
    this.#turn += 1;
    const turn = this.#turn;
    const isLate = (): boolean => this.#turn !== turn;
    this.#inPlace.change(() => refill(this.#progress, "Working it out …"));
    try {
      const answer = await askSeason(question, (words) => {
        if (isLate()) return;
        this.#inPlace.change(() => refill(this.#progress, `Working it out: ${words}`));
      });
      if (isLate()) return;
      this.#answer = answer;
      this.#inPlace.change(() => this.#fill(answer));
    } catch (error) {
      if (isLate()) return;
      const why = error instanceof Error ? error.message : String(error);
      this.#inPlace.change(() => {
        refill(this.#progress, `Not worked out: ${why}`);
        this.#lanes.setAttribute("aria-busy", "false");
      });
    }
  }

  #fill(answer: DayAnswer): void {
    const { pool } = this.#app;
    if (pool === null) return;
    const { ready } = answer;
    refill(this.#progress);
    const words = ready.walk === null ? "Nobody has walked yet." : dayVerdict(ready);
    if (this.#verdict.textContent !== words) refill(this.#verdict, words);
    refill(this.#lanes, ...laneViews(ready));
    refill(this.#plan, ...planView(ready));
    refill(this.#bag, bagList(this.#app, answer));
    refill(this.#trend, ...trendView(this.#app, pool, answer));
    refill(this.#decided, ...decideView(pool, answer));
    this.#presses.update(answer);
    this.#pads.update(answer);
    this.#lanes.setAttribute("aria-busy", "false");
  }
}
